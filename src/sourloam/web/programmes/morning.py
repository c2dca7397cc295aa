"""A coordinator's morning, from facts to words and drawings."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam import drawing
from sourloam.evidence import book
from sourloam.logbook.models import ProgrammeEntry
from sourloam.programme import (
    BedShort,
    BranNeed,
    FullBy,
    Help,
    Morning,
    PlaceFacts,
    Round,
    Silence,
    VesselFacts,
    rule,
)
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.programmes import words as pw
from sourloam.web.programmes.house import Yard
from sourloam.web.programmes.place import helped
from sourloam.web.programmes.round import round_head

_FIRST = 6  # places shown unfolded
_FOLDED = 60
_ANSWERING = 14  # days in which a word or a visit may still be answered
_SHORT = 5
_LEAST_BRAN_KG = 0.05


def _quiet(places: int) -> str:
    """The headline of a day on which nobody wants anything."""
    return _("Nobody wants anything today") if places else _("Your places are being reckoned")


def _of(places: int) -> str:
    said = ngettext("of %(n)d place", "of %(n)d places", places) % {"n": places}
    return said if places else ""


def morning_page(
    yard: Yard, found: Morning, log: Sequence[ProgrammeEntry], next_: tuple[dt.date, Round] | None
) -> dict[str, Any]:
    """The one screen."""
    answered = _answered(log, yard.today)
    long_quiet = [h for h in found.help if h.long_quiet and h.place.id not in answered]
    fresh = [h for h in found.help if h.place.id not in answered and not h.long_quiet]
    first = _of_each(fresh)
    rest = [h for h in fresh if h not in first]
    waiting = [h for h in found.help if h.place.id in answered]
    number = len(fresh)
    said = ngettext(
        "%(n)d place wants somebody today", "%(n)d places want somebody today", number
    ) % {"n": number}
    return {
        "headline": said if number else _quiet(found.places),
        "many": _of(found.places),
        "help": [helped(yard, h) for h in first],
        "folded": [helped(yard, h) for h in rest[:_FOLDED]],
        "fold": ngettext("%(n)d more place", "%(n)d more places", len(rest)) % {"n": len(rest)},
        "beyond": max(len(rest) - _FOLDED, 0),
        "reasons": _reasons(fresh),
        "long_quiet": [
            _named(yard, h.place, when=_since(h.silence))
            for h in long_quiet
            if h.silence is not None
        ],
        "answered": [_named(yard, h.place, when=w.day(answered[h.place.id])) for h in waiting],
        "brief": _brief(yard, found, next_),
        "full": full_drawing(found.full),
        "last_day": w.day(found.full[-1].day),
        "taken": found.fetched,
        "soon": [_soon(yard, *row) for row in found.soon[:_SHORT]],
        "soon_more": max(len(found.soon) - _SHORT, 0),
        "bran": bran(yard, found.bran, found.places),
        "beds": beds(yard, found.beds) | {"ready": found.ready},
        "round": None if next_ is None else round_head(yard, *next_),
        "round_today": next_ is not None and next_[0] == yard.today,
        "known": known(),
    }


def _since(quiet: Silence) -> str:
    """How long it has been quiet there."""
    return pw.days(quiet.days) if quiet.began else _("never began")


def _named(yard: Yard, place: PlaceFacts, **more: str) -> dict[str, str]:
    """A place's name with the way to its page, and what is said of it."""
    return {"name": place.name, "url": pw.place_url(yard, place), **more}


def _brief(yard: Yard, found: Morning, next_: tuple[dt.date, Round] | None) -> dict[str, str]:
    """The day in four figures."""
    _low, middle, high = found.bran.make_kg
    short = sum(not row.held for row in found.beds)
    return {
        "full": f"{found.full[0].vessels[1]:.0f}",
        "bran": w.kg(pw.two_digits(middle), yard.units) if high >= _LEAST_BRAN_KG else _("none"),
        "beds": ngettext("%(n)d place", "%(n)d places", short) % {"n": short},
        "stops": "–" if next_ is None else str(len(next_[1].stops)),
    }


def _of_each(helps: Sequence[Help]) -> list[Help]:
    """The first ones to be shown: the most pressing of each kind, in turn, in their order."""
    of_kind: dict[str, list[Help]] = {}
    for one in helps:
        of_kind.setdefault(one.risks[0].what, []).append(one)
    turns = (kind[turn] for turn in range(_FIRST) for kind in of_kind.values() if turn < len(kind))
    chosen = {one.place.id for _number, one in zip(range(_FIRST), turns, strict=False)}
    return [one for one in helps if one.place.id in chosen]


def _reasons(helps: Iterable[Help]) -> str:
    """How many places for which reason, each place by its most pressing one."""
    number = Counter(one.risks[0].what for one in helps)
    if not number:
        return ""
    listed = "; ".join(f"{w.word(pw.REASONS, what)}: {n}" for what, n in number.items())
    return _("The most pressing at each: %(reasons)s.") % {"reasons": listed}


def _answered(log: Iterable[ProgrammeEntry], today: dt.date) -> dict[str, dt.date]:
    """Places that somebody wrote to or went to of late, with the newest day."""
    found: dict[str, dt.date] = {}
    for row in log:
        recent = (today - row.day).days < _ANSWERING
        if row.place_id and row.kind in ("word", "visit", "fetched") and recent:
            found.setdefault(row.place_id, row.day)
    return found


def full_drawing(rows: Sequence[FullBy]) -> dict[str, Any] | None:
    """Full vessels by day, drawn and told; None where none is full nor foreseen to be."""
    if not any(round(row.vessels[2]) for row in rows):
        return None
    days = [
        drawing.FullDay(_("today") if number == 0 else w.short_day(row.day), *row.vessels)
        for number, row in enumerate(rows)
    ]
    desc = "; ".join(
        _("%(day)s: %(m).0f (%(l).0f – %(h).0f)")
        % {"day": d.word, "m": d.middle, "l": d.low, "h": d.high}
        for d in days
    )
    picture = drawing.FullPicture(tuple(days), _("Full vessels if none is fetched"), desc)
    return {
        "svg": shown(drawing.draw_full(picture)),
        "desc": desc,
        "key": _full_key(picture.each),
    }


def _full_key(each: int) -> str:
    return ngettext(
        "Each drawn vessel is a full one; those drawn empty may be full as well, within the "
        "range of eight in ten.",
        "Each drawn vessel is %(n)d full ones; those drawn empty may be full as well, within the "
        "range of eight in ten.",
        each,
    ) % {"n": each}


def _soon(yard: Yard, place: PlaceFacts, vessel: VesselFacts, chance: float) -> dict[str, str]:
    day = vessel.full_on[1] if vessel.full_on else None
    return {
        "place": place.name,
        "url": pw.place_url(yard, place),
        "vessel": vessel.name,
        "day": w.day(day) if day else "",
        "chance": _("%(n)d in 100 by a week from now") % {"n": min(round(100 * chance), 99)},
    }


def bran(yard: Yard, need: BranNeed, number: int) -> dict[str, Any]:
    """Bran to make this week."""
    low, middle, high = need.make_kg
    lacking = need.lacking[:_SHORT]
    return {
        "make": w.kg(pw.two_digits(middle), yard.units),
        "none": high < _LEAST_BRAN_KG,
        "range": w.kg_range(pw.two_digits(low), pw.two_digits(high), yard.units),
        "asked": w.kg_range(
            pw.two_digits(need.asked_kg[0]), pw.two_digits(need.asked_kg[2]), yard.units
        ),
        "stock": w.kg(need.stock_kg, yard.units),
        "days": need.days,
        "lacking": [_named(yard, place, days=pw.days(number)) for place, number in lacking],
        "more": max(len(need.lacking) - _SHORT, 0),
        "unknown": need.unknown,
        "short": len(need.lacking),
        "known": number - need.unknown,
        "take": w.kg(pw.two_digits(need.take_kg[1]), yard.units),
        "take_range": w.kg_range(
            pw.two_digits(need.take_kg[0]), pw.two_digits(need.take_kg[2]), yard.units
        ),
    }


def beds(yard: Yard, rows: Sequence[BedShort]) -> dict[str, Any]:
    """Beds that are too small, and those whose ground is shut."""
    open_ = [row for row in rows if not row.held]
    held = [row for row in rows if row.held]
    area = [sum(row.lacking_m2[i] for row in open_) for i in range(3)]
    opens = [row.place.ground.opens for row in held if row.place.ground and row.place.ground.opens]
    return {
        "short": [
            {
                "name": row.place.name,
                "url": pw.place_url(yard, row.place),
                "kg": w.kg(row.due_kg, yard.units),
                "m2": pw.area(row.lacking_m2, yard.units),
            }
            for row in open_[:_SHORT]
        ],
        "number": len(open_),
        "more": max(len(open_) - _SHORT, 0),
        "area": pw.area((area[0], area[1], area[2]), yard.units),
        "held": len(held),
        "held_kg": w.kg(sum(row.due_kg for row in held), yard.units),
        "opens": w.day(min(opens)) if opens else "",
        "days": int(rule("programme.beds.ahead")),
    }


def known() -> list[str]:
    """How the morning is reckoned, with the numbers that stand behind it."""
    rows = book()

    def ends(key: str, digits: int = 2) -> dict[str, str]:
        row = rows[key]
        names = ("m", "l", "h")
        values = (row.value, row.low, row.high)
        return {n: w.number(v, digits) for n, v in zip(names, values, strict=True)}

    return [
        _(
            "A silence is weighed against the place's own rhythm: how long it lasted moves the "
            "chance most, then how often people stop at all (%(m)s a year, %(l)s – %(h)s: our "
            "judgement; in one city 53 of 100 vessels given out stood unused), then pauses that "
            "end by themselves."
        )
        % ends("programme.silence.stop_rate"),
        _(
            "Days of being full come from each vessel's own forecast; what the next layers bring "
            "moves them most, then the room that is left. Places are taken to err each by itself."
        ),
        _(
            "Bran: what each place's layers took in the last four weeks, carried on; a place's "
            "stock serves that place alone, the hub's serves all."
        ),
        _(
            "Beds: kilograms that are finished within %(days)d days against the trench that is "
            "free; what a metre takes moves it most."
        )
        % {"days": int(rule("programme.beds.ahead"))},
        _(
            "Ways are as the crow flies times %(m)s (%(l)s – %(h)s, our judgement; about 1.2 is "
            "published for random points of a town). Rivers and railways make it more."
        )
        % ends("programme.round.detour"),
    ]
