"""A mix of scraps: a preset's name, or shares by class."""

from __future__ import annotations

from typing import Any

from sourloam.scraps import CLASSES, PRESETS
from sourloam.site.wording import choice, nearest, shown

_NEAR_ONE = 0.005  # shares written to two figures may miss 1 by this much

MIX_SCHEMA: dict[str, Any] = {
    "anyOf": [
        {"type": "string", "enum": list(PRESETS)},
        {
            "type": "object",
            "propertyNames": {"enum": list(CLASSES)},
            "additionalProperties": {"type": "number", "minimum": 0, "maximum": 1},
        },
    ]
}


def read_mix(value: object) -> str | dict[str, float]:
    """A known preset, or shares that add up to exactly 1; ValueError with what would be right."""
    if isinstance(value, str):
        if value not in PRESETS:
            raise ValueError(choice(value, PRESETS))
        return value
    if not isinstance(value, dict):
        raise ValueError(
            f'found {shown(value)}; write a ready mix ("household") or '
            "a table of shares {fruit_veg = 0.7, bread = 0.3}"
        )
    shares = {str(key): _share(str(key), part) for key, part in value.items()}
    total = sum(shares.values())
    if abs(total - 1) > _NEAR_ONE:
        raise ValueError(f"the shares add up to {total:.3g}; they must add up to 1")
    return {key: part / total for key, part in shares.items()}


def _share(key: str, value: object) -> float:
    if key not in CLASSES:
        raise ValueError(
            f"unknown class {shown(key)};{nearest(key, CLASSES)} choose from {', '.join(CLASSES)}"
        )
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{key}: found {shown(value)}; write a share from 0 to 1")
    if not 0 <= value <= 1:  # no NaN passes
        raise ValueError(f"{key}: found {shown(value)}; a share lies between 0 and 1")
    return float(value)
