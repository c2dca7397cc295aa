"""The one way in which every verb reads the log of a place from a file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sourloam.cli.trouble import Refusal

if TYPE_CHECKING:
    from sourloam.exchange import Log


def text_of(path: Path) -> str:
    """What a file says; Refusal in one line where it can't be read."""
    from sourloam.exchange import ExchangeError
    from sourloam.exchange.logs import read_file

    try:
        return read_file(path).decode("utf-8")
    except UnicodeDecodeError:
        raise Refusal(f"{path}: not text in UTF-8") from None
    except ExchangeError as error:
        raise Refusal(f"{path}: {error}") from None


def log_of(path: Path) -> Log:
    """The log of one place, as ``sourloam export`` writes it or as bare entries in JSON; Refusal
    in one line for anything wrong with it."""
    from sourloam.exchange import ExchangeError, read_log

    try:
        return read_log(path)
    except ExchangeError as error:
        raise Refusal(f"{path}: {error}") from None
