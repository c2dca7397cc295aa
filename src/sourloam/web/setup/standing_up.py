"""What a new place begins with: the vessels of its plan on the shelf, and its beds."""

from __future__ import annotations

import math
import uuid
from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

_MOST_VESSELS = 60
_BED_WIDTH_M = 1.2  # reached from both sides
_LONGEST_BED_M = 10.0
_MOST_BEDS = 12
Furniture = list[tuple[str, dict[str, Any]]]


def furniture(document: Mapping[str, Any], vessels: int, area_m2: float) -> Furniture:
    """Kinds and bodies of the entries that put up vessels and lay out beds of that area."""
    spec = {k: v for k, v in document["vessel"][0].items() if k not in ("owned", "most")}
    put_up: Furniture = [
        ("vessel_added", {"vessel": _new("vessel", number), "name": name, "spec": spec})
        for number, name in _numbered(_("Vessel %(n)d"), min(vessels, _MOST_VESSELS))
    ]
    many = min(math.ceil(area_m2 / (_BED_WIDTH_M * _LONGEST_BED_M)), _MOST_BEDS)
    for number, name in _numbered(_("Bed %(n)d"), many):
        length = f"{area_m2 / many / _BED_WIDTH_M:.2g} m"
        bed = {"name": name, "length": length, "width": f"{_BED_WIDTH_M:g} m"}
        put_up.append(("bed_added", {"bed": _new("bed", number), "name": name, "spec": bed}))
    return put_up


def _numbered(name: str, many: int) -> list[tuple[int, str]]:
    return [(number, name % {"n": number}) for number in range(1, many + 1)]


def _new(sort: str, number: int) -> str:
    """A fresh id; ids in the order of the numbers, so that the first vessel is fed first."""
    return f"{sort}-{number:02d}-{uuid.uuid4().hex[:8]}"
