"""The kinds of value that an entry's body holds: short ids, notes, bounded numbers."""

from __future__ import annotations

import json
import re
import unicodedata
from functools import lru_cache
from typing import Annotated, Any, TypeVar, cast

from pydantic import ValidationError

from sourloam.site import Site
from sourloam.site.beds import Bed
from sourloam.site.equipment import VesselKind
from sourloam.site.explaining import explain
from sourloam.site.mixes import MIX_SCHEMA, read_mix
from sourloam.site.quantities import LONGEST_NAME, Read, number
from sourloam.site.sections import Section
from sourloam.site.wording import shown

_M = TypeVar("_M", bound=Section)
LONGEST_NOTE = 2000
_MOST_SIGNS = 40
_MOST_DOCUMENT = 200_000  # letters of a site document as JSON
_ID = re.compile(r"[a-z0-9][a-z0-9_-]{0,63}")
_SHA256 = re.compile(r"[0-9a-f]{64}")


def read_id(value: object) -> str:
    """A short id as devices make them; ValueError with what would be right."""
    if not isinstance(value, str) or not _ID.fullmatch(value):
        raise ValueError(
            f"found {shown(value)}; write an id of at most 64 small letters, digits, - and _"
        )
    return value


def _cleaned(value: str) -> str:
    """Composed letters, without control characters and marks that turn the line around."""
    text = unicodedata.normalize("NFC", value).replace("\r\n", "\n").replace("\r", "\n")
    kept = (c for c in text if c == "\n" or unicodedata.category(c) not in _UNSEEN)
    return "".join(kept).strip()


_UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn")


def _note(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError(f"found {shown(value)}; write text")
    text = _cleaned(value)
    if len(text) > LONGEST_NOTE:
        raise ValueError(f"{len(text)} letters; keep a note to {LONGEST_NOTE}")
    return text


def _line(value: object) -> str:
    text = " ".join(_cleaned(value).split()) if isinstance(value, str) else ""
    if not text or len(text) > LONGEST_NAME:
        raise ValueError(f"found {shown(value)}; write a name of 1 to {LONGEST_NAME} letters")
    return text


def _signs(value: object) -> tuple[str, ...]:
    if not isinstance(value, list | tuple) or len(value) > _MOST_SIGNS:
        raise ValueError(f"found {shown(value)}; write a list of at most {_MOST_SIGNS} signs")
    return tuple(dict.fromkeys(read_id(sign) for sign in value))


def _sha256(value: object) -> str:
    if not isinstance(value, str) or not _SHA256.fullmatch(value):
        raise ValueError(f"found {shown(value)}; write the 64 hexadecimal digits of its SHA-256")
    return value


def _document(value: object) -> dict[str, Any]:
    """A site document as JSON, checked as a site file is."""
    tables = _bounded(value)
    site = checked(Site, tables)
    if site.climate.csv is not None:
        raise ValueError("climate.csv: a file can't travel in an entry; give monthly_means instead")
    return tables


def _mix(value: object) -> str | dict[str, float]:
    """A checked mix as it was written: scaling it anew at each reading would change its hash."""
    read_mix(value)
    return {k: float(v) for k, v in value.items()} if isinstance(value, dict) else str(value)


def _section(model: type[Section]) -> Any:
    def read(value: object) -> dict[str, Any]:
        tables = _bounded(value)
        checked(model, tables)
        return tables

    return read


def _bounded(value: object) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise ValueError(f"found {shown(value)}; write a table with its keys")
    try:
        text = json.dumps(value, allow_nan=False)
    except (TypeError, ValueError, RecursionError):
        raise ValueError("this can't be written as JSON") from None
    if len(text) > _MOST_DOCUMENT:
        raise ValueError(f"{len(text)} letters; at most {_MOST_DOCUMENT}")
    tables: dict[str, Any] = json.loads(text)
    return tables


def checked(model: type[_M], tables: dict[str, Any]) -> _M:
    """The tables as a checked section of a site file; ValueError with one line."""
    return cast(_M, _checked(model, json.dumps(tables, sort_keys=True)))


@lru_cache(maxsize=256)
def _checked(model: type[Section], text: str) -> Section:
    """Kept, because entries say the same again and again and a whole site takes long to check."""
    try:
        return model.model_validate(json.loads(text))
    except ValidationError as error:
        raise ValueError(explain(error, model, "")) from None
    except RecursionError:
        raise ValueError("tables nested too deep") from None


_TEXT = {"type": "string"}
_TABLE = {"type": "object"}
Id = Annotated[str, Read(read_id, {**_TEXT, "pattern": f"^{_ID.pattern}$"})]
Note = Annotated[str, Read(_note, {**_TEXT, "maxLength": LONGEST_NOTE})]
Line = Annotated[str, Read(_line, {**_TEXT, "minLength": 1, "maxLength": LONGEST_NAME})]
Signs = Annotated[tuple[str, ...], Read(_signs, {"type": "array", "items": _TEXT})]
Photo = Annotated[str, Read(_sha256, {**_TEXT, "pattern": f"^{_SHA256.pattern}$"})]
Mix = Annotated[str | dict[str, float], Read(_mix, MIX_SCHEMA)]
SiteDocument = Annotated[dict[str, Any], Read(_document, _TABLE)]
VesselSpec = Annotated[dict[str, Any], Read(_section(VesselKind), _TABLE)]
BedSpec = Annotated[dict[str, Any], Read(_section(Bed), _TABLE)]

AgeDays = Annotated[float, number(0, 3660)]
MassKg = Annotated[float, number(0.001, 500)]
VolumeL = Annotated[float, number(0.01, 1000)]
Count = Annotated[float, number(0.05, 200)]
BranG = Annotated[float, number(0, 20_000)]
LiquidMl = Annotated[float, number(0, 100_000)]
LiquidL = Annotated[float, number(0.001, 1000)]
Ph = Annotated[float, number(0, 14)]
Share = Annotated[float, number(0, 1)]
TemperatureC = Annotated[float, number(-40, 70)]
LengthM = Annotated[float, number(0.01, 1000)]
DepthM = Annotated[float, number(0, 3)]
AlongM = Annotated[float, number(0, 1000)]
PartsOfWater = Annotated[float, number(0, 5000)]
Log10CfuPerG = Annotated[float, number(3, 11)]
TestResult = Annotated[float, number(0, 240)]
Price = Annotated[float, number(0, 100_000)]

#: What people may say of a mix: a preset's name, or shares by class.
