"""A place for a vessel's ferment: the free bed that has had least, and the trench it takes.

A quick suggestion for the list of what is due; the best plan over all vessels and beds is the
garden room's.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import Any

from sourloam.evidence import book
from sourloam.ledger.amounts import contents_kg, usual_mix
from sourloam.ledger.state import BedState, PlaceState, Turn
from sourloam.ledger.work import Question, rule
from sourloam.site import Site, spans_within
from sourloam.site.beds import Bed

_YEAR = dt.timedelta(days=365)
_TEXTURE_IF_NONE = "loam"


@dataclass(frozen=True)
class Spot:
    """A bed (None if there is none) and the fields of the ``buried`` entry that are known."""

    bed_name: str | None = None
    body: dict[str, Any] = field(default_factory=dict)


def find_spot(question: Question, turn: Turn, on: dt.date) -> Spot:
    """Where to bury what is in a vessel on a day. Needs a site."""
    site = question.site
    assert site is not None  # nothing is buried without ground that is described
    measures = _trench(site)
    free = [bed for bed in question.place.beds if bed.added and _is_free(bed, on, site)]
    rooms = [(_taken(bed, on, site), bed.id, bed) for bed in free]
    open_rooms = [room for room in rooms if room[0] < 1]
    if not open_rooms:
        return Spot(None, measures)
    _, _, bed = min(open_rooms, key=lambda room: room[:2])
    spec = _spec(bed)
    wanted = ferment_kg(turn, question.place, site) / rule(f"ground.load.{_texture(spec, site)}")
    measures |= {
        "bed": bed.id,
        "length_m": round(min(max(wanted, 0.3), spec.width_m), 2),
        "along_m": _along(bed, spec, on, site),
    }
    return Spot(bed.name, measures)


def free_trench_m(question: Question, on: dt.date) -> float:
    """Metres of trench that all beds without a crop still take that year. Needs a site."""
    site = question.site
    assert site is not None  # nothing is buried without ground that is described
    total = 0.0
    for bed in question.place.beds:
        if bed.added and _is_free(bed, on, site):
            spec = _spec(bed)
            room = _strips(spec, site) * spec.width_m
            total += max(1 - _taken(bed, on, site), 0.0) * room
    return total


def ferment_kg(turn: Turn, place: PlaceState, site: Site) -> float:
    """Ferment to expect from a filling, kg, by middle values."""
    return contents_kg(turn, place, usual_mix(site)) * rule("ledger.due.shrink")


def _spec(bed: BedState) -> Bed:
    assert bed.added is not None
    return bed.added.body.read_spec()


def _texture(spec: Bed, site: Site) -> str:
    return spec.texture or site.ground.texture or _TEXTURE_IF_NONE


def _trench(site: Site) -> dict[str, Any]:
    """Measures of the trench as the site digs it, else the usual ones."""
    depth, width = site.ground.trench_depth_m, site.ground.trench_width_m
    return {
        "depth_m": rule("ground.trench.depth") if depth is None else depth,
        "width_m": rule("ground.trench.width") if width is None else width,
        "length_m": rule("ground.trench.width"),
        "cover_m": rule("ground.trench.cover"),
    }


def _spacing_m(site: Site) -> float:
    return site.ground.trench_spacing_m or rule("ground.trench.spacing")


def _strips(spec: Bed, site: Site) -> int:
    return max(1, int(spec.length_m / _spacing_m(site) + 1e-9))


def _taken(bed: BedState, on: dt.date, site: Site) -> float:
    """Share of the bed's trench room for a year that is taken."""
    spec = _spec(bed)
    dug = sum(r.body.length_m for r in bed.burials if on - _YEAR < r.day <= on)
    return dug / (_strips(spec, site) * spec.width_m)


def _along(bed: BedState, spec: Bed, on: dt.date, site: Site) -> float:
    """Middle of the strip that was dug longest ago, the first one of those never dug."""
    spacing = _spacing_m(site)
    middles = [(strip + 0.5) * spacing for strip in range(_strips(spec, site))]
    last = dict.fromkeys(middles, dt.date.min)
    for record in bed.burials:
        along = record.body.along_m
        if along is not None:
            nearest = _nearest(middles, along)
            last[nearest] = max(last[nearest], record.day)
    return round(min(min(middles, key=lambda m: (last[m], m)), spec.length_m), 2)


def _nearest(middles: list[float], along_m: float) -> float:
    return min(middles, key=lambda middle: abs(middle - along_m))


def _is_free(bed: BedState, on: dt.date, site: Site) -> bool:
    """No crop stands in it: neither one that was planted, nor one of the bed's description."""
    for record in bed.plantings:
        rows, key = book(), f"crops.{record.body.crop}.days_to_harvest"
        days = rows[key].value if key in rows.rows else rule("ground.wait.longest") / 2
        if record.day <= on <= record.day + dt.timedelta(days=days):
            return False
    return not any(
        first <= on <= last
        for planting in _spec(bed).plantings
        for first, last in spans_within(planting, on, on)
    )
