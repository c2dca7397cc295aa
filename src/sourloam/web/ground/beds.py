"""The beds from above: what lies there, what may be planted when, what to log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam import drawing
from sourloam.ledger.state import BedState
from sourloam.web import wording as w
from sourloam.web.forms import Asking, bed_forms, units_of
from sourloam.web.ground.digging import dug_bed, to_dig, with_picture
from sourloam.web.ground.plantable import by_warmth, on_trenches, season_said
from sourloam.web.ground.sowing import choices
from sourloam.web.ground.waits import Waits
from sourloam.web.house import Inside
from sourloam.web.log.lines import log_line
from sourloam.web.log.records import crops
from sourloam.web.log.telling import crop_word
from sourloam.web.pictures import bed_legend, bed_picture, shown
from sourloam.web.place.slips import is_soon

_LOG = 12
LENGTH_M, WIDTH_M = (0.3, 1000.0), (0.3, 100.0)


def page(inside: Inside, signs: w.Words) -> dict[str, Any]:
    """Everything that the template needs."""
    waits = Waits(inside)
    next_one = _burial(inside)
    ordered = sorted(inside.state.beds, key=lambda bed: not (next_one and bed.name == next_one[1]))
    alike = _Alike(season_said(waits), _to_bury(inside), signs)
    beds = [_bed(inside, bed, waits, alike) for bed in ordered]
    return {
        "headline": _headline(inside, waits),
        "answer": _free(inside, waits) if _burial(inside) else "",
        "crops": choices() if beds and waits.ground is not None else [],
        "beds": beds,
        "legend": bed_legend(_states(inside.state.beds, waits)),
        "by_warmth": by_warmth(waits) if beds else [],
        "may_garden": inside.house.may("planted"),
        "may_keep": inside.house.may("bed_added"),
        "sides": _sides(inside.house.units),
        "textures": [(key, str(text)) for key, text in w.TEXTURES.items()],
    }


def _burial(inside: Inside) -> tuple[str, str] | None:
    """The vessel that is to be buried today, and the bed that has room for it."""
    names = {bed.id: bed.name for bed in inside.state.beds}
    for due in inside.dues:
        bed = due.body.get("bed") if due.what == "bury" and not is_soon(due) else None
        if bed in names:
            return due.name, names[bed]
    return None


def _headline(inside: Inside, waits: Waits) -> str:
    """Where the next ferment goes; else what is free."""
    burial = _burial(inside)
    if burial is not None:
        return _("Bury %(vessel)s in %(bed)s") % dict(zip(("vessel", "bed"), burial, strict=True))
    return _free(inside, waits) if inside.state.beds else _("Where the ferment goes back")


def _free(inside: Inside, waits: Waits) -> str:
    """How many beds lie free, how many hold plants, in how many ferment still works."""
    at_work = [bed for bed in inside.state.beds if waits.working(bed)]
    grown = [b for b in inside.state.beds if b not in at_work and waits.standing(b)]
    free = len(inside.state.beds) - len(at_work) - len(grown)
    said = [
        (free, ngettext("%(n)d bed is free", "%(n)d beds are free", free)),
        (len(grown), ngettext("%(n)d is planted", "%(n)d are planted", len(grown))),
        (
            len(at_work),
            ngettext("in %(n)d ferment is at work", "in %(n)d ferment is at work", len(at_work)),
        ),
    ]
    return ", ".join(text % {"n": n} for n, text in said if n or text is said[0][1])


def _sides(system: str) -> list[dict[str, str]]:
    """What a new bed's form asks, in the reader's unit."""
    units = units_of(system)
    unit, metres = {"unit": units.words["bed"]}, units.factors["bed"]
    return [
        {
            "name": name,
            "word": word % unit,
            "least": f"{low / metres:.2g}",
            "most": f"{high / metres:.4g}",
        }
        for name, word, (low, high) in (
            ("length", _("Length, %(unit)s"), LENGTH_M),
            ("width", _("Width, %(unit)s"), WIDTH_M),
        )
    ]


@dataclass(frozen=True)
class _Alike:
    """What is the same for all beds, found once."""

    season: str
    full: list[tuple[str, str]]
    signs: w.Words


def _bed(inside: Inside, bed: BedState, waits: Waits, alike: _Alike) -> dict[str, Any]:
    house, due = inside.house, to_dig(inside, bed=bed.id)
    ask = Asking(
        inside.state,
        units_of(house.units),
        bed=bed,
        vessels=alike.full,
        crops=crops(),
        at=bed.id,
        spot={} if due is None else due.body,
    )
    picture = dug_bed(bed, waits, house.units, due) if due else bed_picture(bed, waits, house.units)
    return {
        "id": bed.id,
        "name": bed.name,
        "answer": _answer(bed, waits, alike.season),
        "drawing": shown(drawing.draw_bed(picture)),
        "wait": waits.explained(bed),
        "when": on_trenches(bed, waits),
        "forms": with_picture(bed_forms(ask, house.kinds), inside, due, waits),
        "log": [log_line(inside, r, alike.signs) for r in reversed(bed.log[-_LOG:])],
    }


def _to_bury(inside: Inside) -> list[tuple[str, str]]:
    """Vessels with something in them: ready and resting first; one that fills is never chosen."""
    ranks = {"ready": 0, "held": 0, "resting": 1, "failed": 2}
    full = [(ranks.get(inside.stage(v), 3), v) for v in inside.state.vessels if v.turn is not None]
    full.sort(key=lambda one: one[0])
    found = [(v.id, v.name) for _rank, v in full]
    return [("", "—"), *found] if full and full[0][0] > 1 else found


def _states(beds: Sequence[BedState], waits: Waits) -> set[str]:
    """What is drawn anywhere: trenches by their state, and plants."""
    found = {state for bed in beds for _trench, _day, state in waits.trenches(bed)}
    return found | ({"growing"} if any(waits.standing(bed) for bed in beds) else set())


def _answer(bed: BedState, waits: Waits, season: str) -> str:
    growing = ", ".join(dict.fromkeys(crop_word(r.body.crop) for r in waits.standing(bed)))
    parts = [_("Now: %(crops)s.") % {"crops": growing}] if growing else []
    working = waits.working(bed)
    if working:
        last = max(day for _trench, day in working)
        text = _("Buried ferment is still at work here; plant on it from %(day)s.")
        parts.append(text % {"day": w.day(last)})
    elif not growing:
        parts.append(_("Nothing buried here is still at work, so no plant has to wait for it."))
        parts.append(season)
    return " ".join(filter(None, parts))
