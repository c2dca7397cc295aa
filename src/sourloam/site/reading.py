"""Reading a site file, in bounded time and memory; whatever is wrong is told in one line."""

from __future__ import annotations

import tomllib
from pathlib import Path
from stat import S_ISDIR, S_ISREG

from pydantic import ValidationError

from sourloam import climate
from sourloam.evidence import book
from sourloam.site.errors import SiteError
from sourloam.site.explaining import explain
from sourloam.site.model import Site
from sourloam.site.wording import one_line, shown

MOST_BYTES = 1_000_000
MOST_RECORD_BYTES = 20_000_000
_LONGEST_LINE = 2_000  # a longer one isn't written by hand, and some cost the TOML reader dear
_MOST_DOTS = 20_000  # the same for keys of very many parts


def load(path: str | Path) -> Site:
    """The site described by a TOML file.

    Raises SiteError with one line for anything that is wrong with it.
    """
    path = Path(path)
    return loads(_text(path, MOST_BYTES, str(path)), str(path), path.parent)


def loads(text: str, name: str = "site file", folder: Path | None = None) -> Site:
    """The site described by a TOML text; ``folder`` is where its own records lie.

    Raises SiteError, whose message begins with ``name``.
    """
    name = one_line(name)
    site = _checked(_tables(text, name), text, name)
    if site.climate.csv is not None:
        if folder is None:
            raise SiteError(f"{name}: climate.csv: no folder to read {site.climate.csv} from")
        _attach_record(site, folder, name)
    return site


def _text(path: Path, most: int, name: str) -> str:
    data = _bytes(path, most, name)
    if len(data) > most:
        raise SiteError(f"{name}: larger than {most // 1000} kB; such a file is small text")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise SiteError(f"{name}: line {line} isn't UTF-8 text; save it as UTF-8") from None


def _bytes(path: Path, most: int, name: str) -> bytes:
    """What the file holds, up to one byte more than allowed."""
    name = one_line(name)
    try:
        mode = path.stat().st_mode
        if not S_ISREG(mode):  # a pipe would make us wait for ever
            found = "a folder; name a file in it" if S_ISDIR(mode) else "no ordinary file"
            raise SiteError(f"{name}: this is {found}")
        with path.open("rb") as file:
            return file.read(most + 1)
    except FileNotFoundError:
        raise SiteError(f"{name}: there is no such file") from None
    except OSError as error:
        raise SiteError(f"{name}: can't be read: {error.strerror or error}") from None
    except ValueError as error:
        if isinstance(error, SiteError):
            raise
        raise SiteError(f"{name}: no file can have this name") from None


def _tables(text: str, name: str) -> dict[str, object]:
    if len(text) > MOST_BYTES:
        raise SiteError(f"{name}: larger than {MOST_BYTES // 1000} kB; such a file is small text")
    for i, line in enumerate(text.split("\n"), start=1):
        if len(line) > _LONGEST_LINE:
            raise SiteError(f"{name}: line {i} has {len(line)} characters; keep to {_LONGEST_LINE}")
    if text.count(".") > _MOST_DOTS:
        raise SiteError(f"{name}: more than {_MOST_DOTS} dots; this doesn't look like a site file")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SiteError(f"{name}: not TOML: {one_line(str(error))}") from None
    except RecursionError:
        raise SiteError(f"{name}: brackets nested too deep; a site file needs three") from None
    except ValueError as error:  # numbers and dates out of all bounds
        raise SiteError(f"{name}: not TOML: {one_line(str(error))}") from None


def _checked(tables: dict[str, object], text: str, name: str) -> Site:
    book()  # a fault in our own tables must not be told as one of the person's file
    try:
        return Site.model_validate(tables)
    except ValidationError as error:
        raise SiteError(f"{name}: {explain(error, Site, text)}") from None
    except RecursionError:
        raise SiteError(f"{name}: tables nested too deep; a site file needs three") from None


def _attach_record(site: Site, folder: Path, name: str) -> None:
    """Read the person's own weather record and keep it with the site."""
    file = str(site.climate.csv)
    if not file or not file.isprintable():
        raise SiteError(f"{name}: climate.csv: found {shown(file)}; give the name of a file")
    try:
        text = _text(folder / file, MOST_RECORD_BYTES, file)
        climate.read_csv(text, file)
    except (SiteError, climate.ClimateError) as error:
        raise SiteError(f"{name}: climate.csv: {error}") from None
    site._record_text = text
