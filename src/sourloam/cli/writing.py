"""Writing a file whole or not at all."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable, Iterable
from pathlib import Path

from sourloam.cli.trouble import Refusal


def writable(path: Path, endings: Iterable[str]) -> Path:
    """The same path, once its ending and folder are found good; Refusal otherwise.

    Called before any computing, so that nobody waits for a result that can't be kept.
    """
    known = tuple(endings)
    if path.suffix.lower() not in known:
        given = f"ends in {path.suffix}" if path.suffix else "has no ending"
        raise Refusal(f"{path}: {given}; give one of {', '.join(known)}")
    folder = path.parent
    if not folder.is_dir():
        raise Refusal(f"{path}: there is no folder {folder}; make it first")
    if path.is_dir():
        raise Refusal(f"{path}: this is a folder; name a file in it")
    if not os.access(folder, os.W_OK | os.X_OK):
        raise Refusal(f"{path}: the folder {folder} can't be written to; choose another")
    return path


def write_whole(path: Path, write: Callable[[Path], None]) -> None:
    """Let ``write`` make a file beside ``path``, then put it in its place in one step.

    Refusal where the disk or the folder refuses; no half-written file is left.
    """
    draft = path.with_name(f".{secrets.token_hex(8)}{path.suffix.lower()}")
    try:
        write(draft)
        draft.replace(path)
    except OSError as error:
        raise Refusal(f"{path}: can't be written: {error.strerror or error}") from None
    finally:
        draft.unlink(missing_ok=True)
