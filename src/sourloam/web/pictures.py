"""From what the ledger and the forecast know to what the drawings need."""

from __future__ import annotations

import json
from collections.abc import Collection, Sequence
from functools import lru_cache
from typing import Any

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from sourloam import drawing
from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.amounts import Mix, layer_kg, usual_mix
from sourloam.ledger.state import BedState, PlaceState, Record, Turn, VesselState
from sourloam.site.conversion import to_vessel
from sourloam.site.equipment import VesselKind
from sourloam.vessel import Vessel
from sourloam.web import wording as w
from sourloam.web.ground.waits import Waits
from sourloam.web.log.telling import crop_word
from sourloam.web.vessel.foresight import Foresight

_LABELLED = 60  # layers that a drawing shows singly
_MOST_TRENCHES = 12
_LEAST_LIQUID = 0.05  # share of the sump that a drawing shows
_FRESH_PH = drawing.SOURNESS[0][1]


def shown(svg: str) -> SafeString:
    """A drawing as it may stand in a page: the drawing room escapes all that people wrote."""
    return mark_safe(svg)


@lru_cache(maxsize=512)
def _shape(kind_json: str) -> Vessel:
    return to_vessel(VesselKind.model_validate_json(kind_json))


def shape_of(vessel: VesselState) -> Vessel | None:
    """The vessel's shape, None if nobody described it."""
    if vessel.added is None:
        return None
    return _shape(json.dumps(vessel.added.body.spec, sort_keys=True))


def picture_of(
    vessel: VesselState, stage: str, place: PlaceState, seen: Foresight | None
) -> drawing.VesselPicture:
    """The vessel as it stands today."""
    shape, turn = shape_of(vessel), vessel.turn
    size: dict[str, Any] = {}
    if shape is not None:
        size = {
            "top_diameter_m": shape.top_diameter_m,
            "base_diameter_m": shape.base_diameter_m,
            "height_m": shape.height_m,
            "grid_height_m": shape.sump_height_m,
            "headroom_m": shape.headroom_m,
        }
    layers = _layers(turn, place, seen) if turn else ()
    level = _level(turn, layers, shape, seen) if turn else 0.0
    state = w.word(w.STAGES, stage)
    return drawing.VesselPicture(
        vessel.name,
        stage,
        **size,
        layers=layers,
        level=level,
        liquid=seen.sump_share if seen and turn else 0.0,
        marks=tuple(m.body.fraction for m in turn.marks[-1:]) if turn else (),
        title=f"{vessel.name}: {state}",
        desc=_desc(layers, level),
        words={
            "full": _("full"),
            "half": _("half"),
            "labels": _("pH, 8 in 10") if seen is not None and seen.layer_ph_ends else "",
        },
    )


def _desc(layers: tuple[drawing.LayerPicture, ...], level: float) -> str:
    if not layers:
        return ""
    said = ngettext(
        "%(n)d layer, filled to %(share)s of the room for scraps.",
        "%(n)d layers, filled to %(share)s of the room for scraps.",
        len(layers),
    )
    return said % {"n": len(layers), "share": w.share(round(level, 2))}


def _layers(
    turn: Turn, place: PlaceState, seen: Foresight | None
) -> tuple[drawing.LayerPicture, ...]:
    """Layers with their mass and, where foreseen, their pH; marks alone give one of no age.

    Layers that went in after the forecast was made are as fresh as they went in.
    """
    phs = _layer_phs(turn, seen)
    if not turn.layers:
        return (drawing.LayerPicture(1.0),) if turn.marks else ()
    found, usual = [], usual_mix(place.site())
    for index, record in enumerate(turn.layers):
        ph = phs[index] if index < len(phs) else _FRESH_PH if phs else None
        label = w.short_day(record.day) if index >= len(turn.layers) - _LABELLED else ""
        known = ph is not None and index < len(phs)
        text = w.with_comma(_told(label, ph, seen, index)) if label and known else label
        found.append(drawing.LayerPicture(_drawn_kg(record.body, place, usual), ph, text))
    return tuple(found)


def _told(day: str, ph: float | None, seen: Foresight | None, index: int) -> str:
    """A layer's day with the range of its pH, or its middle where no range was kept."""
    ends = seen.layer_ph_ends if seen is not None else ()
    pair = ends[index] if index < len(ends) else None
    if pair is None:
        return f"{day}, pH {ph:.1f}"
    low, high = (f"{end:.1f}" for end in pair)
    return f"{day}: {low}–{high}" if low != high else f"{day}: {low}"


def _layer_phs(turn: Turn, seen: Foresight | None) -> Sequence[float | None]:
    """What is foreseen of this filling's layers; nothing where a layer was struck since."""
    if seen is None or seen.raw.get("began") not in (None, turn.began.day.isoformat()):
        return ()
    return seen.layer_ph if len(seen.layer_ph) <= len(turn.layers) else ()


def _drawn_kg(body: b.Fed, place: PlaceState, usual: Mix) -> float:
    """About how much a layer weighs, for drawing it to scale; 1 where nobody can tell."""
    kg = layer_kg(body, place, usual)
    return float(body.amount.count or 1) if kg is None else kg


def _level(
    turn: Turn,
    layers: tuple[drawing.LayerPicture, ...],
    shape: Vessel | None,
    seen: Foresight | None,
) -> float:
    """Share of the room that is filled: foreseen, else marked, else by weight."""
    if seen is not None and seen.level is not None:
        return seen.level
    last_fed = turn.layers[-1].at if turn.layers else None
    if turn.marks and (last_fed is None or turn.marks[-1].at >= last_fed):
        return turn.marks[-1].body.fraction
    if shape is None or not layers:
        return 0.5
    dense = book()["ground.ferment_density"].value
    mass = sum(layer.mass_kg for layer in layers)
    return min(1.0, mass / (dense * shape.usable_m3))


def two_vessels() -> SafeString:
    """What stands at the door: a vessel that is filling beside one that is ready."""
    layers = tuple(drawing.LayerPicture(1, ph) for ph in (3.8, 4.2, 4.6, 5.3, 6.2))
    open_ = drawing.VesselPicture(
        "1", "filling", layers=layers, level=0.7, liquid=0.6, title=_("a vessel that is filling")
    )
    ready = drawing.VesselPicture(
        "2", "ready", layers=layers[:2], level=1.0, liquid=0.2, title=_("a vessel that is ready")
    )
    return shown("".join(drawing.draw_vessel(p, large=False) for p in (open_, ready)))


def legend(picture: drawing.VesselPicture) -> list[dict[str, str]]:
    """Swatches of the steps of sourness with their words."""
    names = [name for name, _start in drawing.SOURNESS]
    if any(layer.ph is None for layer in picture.layers):
        names.append("unknown")
    rect = '<rect width="22" height="18" class="d-{}"/>'
    found = [{"word": w.word(w.SOURNESS, n), "swatch": _swatch(rect.format(n))} for n in names]
    if picture.tap:
        grid = '<path d="M1 9h20" class="d-grid"/>'
        found.append({"word": _("drain grid"), "swatch": _swatch(grid)})
    if picture.liquid >= _LEAST_LIQUID:
        found.append({"word": _("liquid"), "swatch": _swatch(rect.format("liquid"))})
    if picture.marks:
        mark = drawing.level_mark(16, 9)
        found.append({"word": _("level that was marked last"), "swatch": _swatch(mark)})
    return found


def _swatch(inside: str) -> SafeString:
    return mark_safe(f'<svg viewBox="0 0 22 18" aria-hidden="true">{inside}</svg>')


BED_STATES: w.Words = {
    "working": gettext_lazy("trench still at work: no seed, no roots before the day beside it"),
    "soon": gettext_lazy("trench that is ready within a week"),
    "open": gettext_lazy("older trench: plants may stand there"),
    "growing": gettext_lazy("grows there now"),
}


def bed_legend(states: Collection[str]) -> list[dict[str, str]]:
    """What the drawn states mean, in their order."""
    return [
        {"swatch": shown(drawing.draw_bed_swatch(state)), "word": w.word(BED_STATES, state)}
        for state in BED_STATES
        if state in states
    ]


def bed_picture(bed: BedState, waits: Waits, units: str) -> drawing.BedPicture:
    """The bed from above: trenches by how far they are, and what grows."""
    spec = bed.added.body.read_spec() if bed.added else None
    length = spec.length_m if spec else 4.0
    width = spec.width_m if spec else 1.2
    trenches = _trenches(bed, waits, length)
    said = [
        f"{_('trench')}: {w.word(BED_STATES, trench.state)} {trench.label}".strip()
        for trench in trenches
    ]
    return drawing.BedPicture(
        bed.name,
        length,
        width,
        tuple(trenches),
        tuple(_plantings(waits.standing(bed), length)),
        title=_("%(bed)s from above") % {"bed": bed.name},
        desc="; ".join(said),
        metre=w.metres(1.0, units),
    )


def _trenches(bed: BedState, waits: Waits, length: float) -> list[drawing.TrenchPicture]:
    """Trenches where they were dug; those without a place one beside the other."""
    found, at = [], 0.2
    for record, day, state in waits.trenches(bed):
        body = record.body
        middle = body.along_m if body.along_m is not None else at + body.width_m / 2
        at = (middle + body.width_m) % max(length - body.width_m, 0.5)
        label = "" if state == "open" else _("from %(day)s") % {"day": w.short_day(day)}
        near = max(0.0, middle - body.width_m / 2)
        found.append(drawing.TrenchPicture(near, body.width_m, state, label))
    return found[-_MOST_TRENCHES:]


def _plantings(standing: list[Record[b.Planted]], length: float) -> list[drawing.PlantingPicture]:
    """Crops side by side on the far half, or around the place that was written down."""
    if not standing:
        return []
    half = length / 2
    each = half / len(standing)
    found = []
    for index, record in enumerate(standing):
        along = record.body.along_m
        start = half + index * each if along is None else max(0.0, along - each / 2)
        name = crop_word(record.body.crop)
        end = min(length, start + each * 0.94)
        found.append(drawing.PlantingPicture(name, min(start, length - 0.1), end, name))
    return found
