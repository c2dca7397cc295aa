"""What the pages of a programme show, from facts to words and drawings."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from math import cos, radians
from typing import Any

from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from sourloam import drawing
from sourloam.evidence import book
from sourloam.ledger.sentences import Sentence
from sourloam.logbook.models import ProgrammeEntry
from sourloam.programme import (
    DEEDS,
    BedShort,
    BranNeed,
    Figures,
    Fleet,
    FullBy,
    Help,
    Morning,
    PlaceFacts,
    Risk,
    Round,
    Silence,
    Three,
    VesselFacts,
    Where,
    rule,
)
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.programme_house import Yard

_FIRST = 6  # places shown unfolded
_FOLDED = 60
_ANSWERING = 14  # days in which a word or a visit may still be answered
_KM_DEGREE = 111.2
_SHORT = 5
_LEAST_BRAN_KG = 0.05
_MAP = (620, 290)
_ICONS = {
    "failed": "emptied", "nowhere": "set_aside", "failing": "looked",
    "stopped": "noted", "bran": "bran_received", "undrained": "drained",
}  # fmt: skip
KINDS: w.Words = {
    "home": gettext_lazy("home"),
    "school": gettext_lazy("school"),
    "cafe": gettext_lazy("café"),
    "garden": gettext_lazy("garden"),
    "other": gettext_lazy("other"),
}
ROLES: w.Words = {
    "coordinator": gettext_lazy("coordinator: everything"),
    "helper": gettext_lazy("helper: rounds and log"),
    "reader": gettext_lazy("reader: looks on"),
    "place": gettext_lazy("a place of their own comes in"),
}
LEFT_OUT: w.Words = {
    "nowhere_on_the_map": gettext_lazy("nobody said where it lies"),
    "too_far_down": gettext_lazy("more pressing ones come first"),
    "no_room_or_time": gettext_lazy("no room or no time left"),
}
REASONS: w.Words = {
    "failed": gettext_lazy("a failed vessel"),
    "nowhere": gettext_lazy("nowhere to put scraps"),
    "failing": gettext_lazy("likely to fail"),
    "stopped": gettext_lazy("fell silent"),
    "bran": gettext_lazy("bran runs out"),
    "undrained": gettext_lazy("not drained"),
}
_FIELDS: w.Words = {
    "kg": gettext_lazy("%(v)s kg"),
    "contamination_kg": gettext_lazy("of it %(v)s kg that did not belong"),
    "clean": gettext_lazy("%(v)s clean left"),
    "vessels": gettext_lazy("%(v)s vessels"),
    "people": gettext_lazy("%(v)s people"),
    "hours": gettext_lazy("%(v)s h"),
    "km": gettext_lazy("%(v)s km"),
}


def in_hundred(chance: Three) -> str:
    """A chance in words with its range."""
    low, middle, high = (min(max(round(100 * share), 1), 99) for share in chance)
    if low == middle == high:
        return _("about %(m)d in 100") % {"m": middle}
    return _("about %(m)d in 100 (%(l)d – %(h)d)") % {"m": middle, "l": low, "h": high}


def told(sentence: Sentence, units: str) -> str:
    """A sentence with its quantities and dates written out."""
    data = {
        key: w.day(value) if isinstance(value, dt.date) else value
        for key, value in sentence.shown(units).items()
    }
    return _(sentence.msgid) % data


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
        "headline": said if number else _("Nobody wants anything today"),
        "many": ngettext("of %(n)d place", "of %(n)d places", found.places) % {"n": found.places},
        "help": [helped(yard, h) for h in first],
        "folded": [helped(yard, h) for h in rest[:_FOLDED]],
        "fold": ngettext("%(n)d more place", "%(n)d more places", len(rest)) % {"n": len(rest)},
        "beyond": max(len(rest) - _FOLDED, 0),
        "reasons": _reasons(fresh),
        "long_quiet": [
            {"name": h.place.name, "url": _url(yard, h.place), "when": _days(h.silence.days)}
            for h in long_quiet
            if h.silence is not None
        ],
        "answered": [
            {"name": h.place.name, "url": _url(yard, h.place), "when": w.day(answered[h.place.id])}
            for h in waiting
        ],
        "brief": _brief(yard, found, next_),
        "full": full_drawing(found.full),
        "soon": [_soon(yard, *row) for row in found.soon[:_SHORT]],
        "soon_more": max(len(found.soon) - _SHORT, 0),
        "bran": bran(yard, found.bran),
        "beds": beds(yard, found.beds),
        "round": None if next_ is None else round_head(yard, *next_),
        "known": known(),
    }


def _brief(yard: Yard, found: Morning, next_: tuple[dt.date, Round] | None) -> dict[str, str]:
    """The day in four figures."""
    _low, middle, high = found.bran.make_kg
    short = sum(not row.held for row in found.beds)
    return {
        "full": f"{found.full[0].vessels[1]:.0f}",
        "bran": w.kg(_two(middle), yard.units) if high >= _LEAST_BRAN_KG else _("none"),
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
    """How many places for which reason."""
    number = Counter(one.risks[0].what for one in helps)
    return "; ".join(f"{w.word(REASONS, what)}: {n}" for what, n in number.items())


def _url(yard: Yard, place: PlaceFacts) -> str:
    return reverse("web:programme_place", args=[yard.id, place.id])


def _answered(log: Iterable[ProgrammeEntry], today: dt.date) -> dict[str, dt.date]:
    """Places that somebody wrote to or went to of late, with the newest day."""
    found: dict[str, dt.date] = {}
    for row in log:
        recent = (today - row.day).days < _ANSWERING
        if row.place_id and row.kind in ("word", "visit", "fetched") and recent:
            found.setdefault(row.place_id, row.day)
    return found


def helped(yard: Yard, one: Help) -> dict[str, Any]:
    """A place that needs somebody: why, and what helps."""
    first = one.risks[0]
    return {
        "id": one.place.id,
        "name": one.place.name,
        "url": _url(yard, one.place),
        "icon": _ICONS[first.what],
        "why": told(first.why, yard.units),
        "chance": "" if first.chance is None else _within(first),
        "helps": told(first.helps, yard.units),
        "more": [told(risk.why, yard.units) for risk in one.risks[1:]],
        "deed": "visit" if one.visit else "word",
    }


def _within(risk: Risk) -> str:
    """Its chance, and the time for which it holds where that is a time of ours: a sentence that
    stands behind another."""
    said = in_hundred(risk.chance) if risk.chance else ""
    if risk.what in ("nowhere", "bran"):
        said = _("%(chance)s within %(days)d days") % {
            "chance": said,
            "days": int(rule("programme.risk.ahead")),
        }
    return capfirst(f"{said}.") if said else ""


def full_drawing(rows: Sequence[FullBy]) -> dict[str, Any]:
    """Full vessels by day, drawn and told."""
    days = [
        drawing.FullDay(_("today") if number == 0 else w.short_day(row.day), *row.vessels)
        for number, row in enumerate(rows)
    ]
    last = rows[-1]
    desc = "; ".join(
        _("%(day)s: %(m).0f (%(l).0f – %(h).0f)")
        % {"day": d.word, "m": d.middle, "l": d.low, "h": d.high}
        for d in days
    )
    picture = drawing.FullPicture(tuple(days), _("Full vessels if none is fetched"), desc)
    return {"svg": shown(drawing.draw_full(picture)), "last": w.day(last.day), "desc": desc}


def _soon(yard: Yard, place: PlaceFacts, vessel: VesselFacts, chance: float) -> dict[str, str]:
    day = vessel.full_on[1] if vessel.full_on else None
    return {
        "place": place.name,
        "url": _url(yard, place),
        "vessel": vessel.name,
        "day": w.day(day) if day else "",
        "chance": _("%(n)d in 100 by a week from now") % {"n": min(round(100 * chance), 99)},
    }


def bran(yard: Yard, need: BranNeed) -> dict[str, Any]:
    """Bran to make this week."""
    low, middle, high = need.make_kg
    lacking = need.lacking[:_SHORT]
    return {
        "make": w.kg(_two(middle), yard.units),
        "none": high < _LEAST_BRAN_KG,
        "range": w.kg_range(_two(low), _two(high), yard.units),
        "asked": w.kg_range(_two(need.asked_kg[0]), _two(need.asked_kg[2]), yard.units),
        "stock": w.kg(need.stock_kg, yard.units),
        "days": need.days,
        "lacking": [
            {"name": p.name, "url": _url(yard, p), "days": _days(days)} for p, days in lacking
        ],
        "more": max(len(need.lacking) - _SHORT, 0),
        "unknown": need.unknown,
    }


def _two(value: float) -> float:
    """So exact as anybody can vouch for."""
    return float(f"{value:.2g}")


def _days(number: int) -> str:
    return ngettext("%(n)d day", "%(n)d days", number) % {"n": number}


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
                "url": _url(yard, row.place),
                "kg": w.kg(row.due_kg, yard.units),
                "m2": _area(row.lacking_m2),
            }
            for row in open_[:_SHORT]
        ],
        "number": len(open_),
        "area": _area((area[0], area[1], area[2])),
        "held": len(held),
        "held_kg": w.kg(sum(row.due_kg for row in held), yard.units),
        "opens": w.day(min(opens)) if opens else "",
        "days": int(rule("programme.beds.ahead")),
    }


def _area(three: Three) -> str:
    low, middle, high = (w.number(value, 2) for value in three)
    return _("%(m)s m² (%(l)s – %(h)s)") % {"m": middle, "l": low, "h": high}


def clock(seconds: int) -> str:
    """Seconds of a day as a time on a clock."""
    minutes = round(seconds / 60)
    return f"{minutes // 60 % 24}:{minutes % 60:02d}"


def round_head(yard: Yard, day: dt.date, found: Round) -> dict[str, Any]:
    """A round in a few words, with its map."""
    low, middle, high = found.hours
    km = found.way_km
    return {
        "day": day,
        "day_word": w.week_day(day),
        "url": reverse("web:programme_round", args=[yard.id, day.isoformat()]),
        "stops": len(found.stops),
        "headline": ngettext(
            "%(n)d stop, %(v)s", "%(n)d stops, %(v)s", len(found.stops)
        ) % {"n": len(found.stops), "v": w.vessels_count(found.full)},
        "hours": _("%(m)s h (%(l)s – %(h)s)")
        % {"m": w.number(middle, 2), "l": w.number(low, 2), "h": w.number(high, 2)},
        "way": _("%(m)s km (%(l)s – %(h)s)")
        % {"m": w.number(km[1], 2), "l": w.number(km[0], 2), "h": w.number(km[2], 2)},
        "back": clock(found.back_s),
        "starts": clock(found.van.starts_s),
        "load": found.clean,
        "kg": w.kg(found.kg, yard.units),
        "trips": found.trips,
        "map": shown(drawing.draw_round(round_picture(found))),
        "small_map": shown(drawing.draw_round(round_picture(found), _MAP)),
    }  # fmt: skip


def round_picture(found: Round) -> drawing.RoundPicture:
    """The round on paper: kilometres from the hub."""
    hub = found.van.hub

    def stop(at: tuple[float, float], pressing: bool, trip: int) -> drawing.MapStop:
        north = (at[0] - hub[0]) * _KM_DEGREE
        east = (at[1] - hub[1]) * _KM_DEGREE * cos(radians(hub[0]))
        return drawing.MapStop(east, north, pressing, trip)

    stops = [
        stop(s.call.at, s.call.pressing >= _PRESSING, s.trip) for s in found.stops if s.call.at
    ]
    names = "; ".join(f"{n}: {s.call.name}" for n, s in enumerate(found.stops, start=1))
    return drawing.RoundPicture(
        tuple(stops), found.van.hub_name, title=_("The round"), desc=names, scale=_("{km} km")
    )


_PRESSING = 0.5


def round_stops(
    yard: Yard, found: Round, log: Iterable[ProgrammeEntry], day: dt.date
) -> list[dict[str, Any]]:
    """Every stop with what to do there, and what was weighed already."""
    weighed = {r.place_id: r for r in log if r.kind == "fetched" and r.day == day}
    return [
        {
            "number": number,
            "id": stop.call.id,
            "name": stop.call.name,
            "url": reverse("web:programme_place", args=[yard.id, stop.call.id]),
            "arrive": clock(stop.arrive_s),
            "full": stop.call.full,
            "clean": stop.call.clean,
            "fetch": _("Fetch %(full)s, leave %(clean)d clean")
            % {"full": w.vessels_count(stop.call.full), "clean": stop.call.clean},
            "kg": w.kg(stop.call.kg, yard.units),
            "how": stop.call.how,
            "pressing": stop.call.pressing >= _PRESSING,
            "trip": stop.trip,
            "board": _("on board then: %(full)d full, %(clean)d clean, %(kg)s")
            % {
                "full": stop.full_on_board,
                "clean": stop.clean_on_board,
                "kg": w.kg(stop.kg_on_board, yard.units),
            },
            "weighed": entry(weighed[stop.call.id], yard) if stop.call.id in weighed else None,
        }
        for number, stop in enumerate(found.stops, start=1)
    ]


def left_out(found: Round) -> list[dict[str, str]]:
    """Calls that are not on the round, and why."""
    return [
        {"name": call.name, "why": w.word(LEFT_OUT, why)} for call, why in found.left_out[:_FOLDED]
    ]


def entry(row: ProgrammeEntry, yard: Yard, named: bool = True) -> dict[str, Any]:
    """A line of the programme's log; ``named`` with the place that it is of."""
    body = row.body
    said = [str(_FIELDS[key]) % {"v": w.number(body[key])} for key in _FIELDS if body.get(key)]
    if yard.units == "us":
        said = [
            w.kg(body["kg"], "us") if key == "kg" else text
            for key, text in zip([k for k in _FIELDS if body.get(k)], said, strict=True)
        ]
    return {
        "id": str(row.pk),
        "kind": row.kind,
        "label": _(DEEDS[row.kind].label) if row.kind in DEEDS else row.kind,
        "place": "" if row.place is None or not named else row.place.name,
        "url": ""
        if row.place_id is None
        else reverse("web:programme_place", args=[yard.id, row.place_id]),
        "day": w.day(row.day),
        "said": ", ".join(said),
        "note": body.get("note", ""),
        "answer": body.get("answer", ""),
        "by": row.by,
    }


def place_row(yard: Yard, one: PlaceFacts, help_: Mapping[str, Help]) -> dict[str, str]:
    """A place in the list."""
    found = help_.get(one.id)
    return {
        "name": one.name,
        "kind": w.word(KINDS, one.kind),
        "url": _url(yard, one),
        "state": standing(one),
        "why": told(found.risks[0].why, yard.units) if found else "",
    }


def standing(one: PlaceFacts) -> str:
    """Its vessels in a few words."""
    parts = []
    for words, number in (
        (gettext_lazy("%(n)d filling"), len(one.filling)),
        (gettext_lazy("%(n)d full"), len(one.standing_full)),
        (gettext_lazy("%(n)d free"), sum(v.free for v in one.vessels)),
    ):
        if number:
            parts.append(str(words) % {"n": number})
    return ", ".join(parts) or _("no vessel in use")


def place_page(
    yard: Yard, one: PlaceFacts, found: Help | None, quiet: Silence | None
) -> dict[str, Any]:
    """One place as its programme sees it."""
    return {
        "facts": {
            "name": one.name,
            "kind": w.word(KINDS, one.kind),
            "standing": standing(one),
            "kg": w.kg(one.kg, yard.units),
            "ended": one.sound + one.failed,
            "failed": one.failed,
        },
        "help": None if found is None else helped(yard, found),
        "risks": []
        if found is None
        else [
            {
                "why": told(r.why, yard.units),
                "helps": told(r.helps, yard.units),
                "chance": "" if r.chance is None else _within(r),
            }
            for r in found.risks
        ],
        "quiet": None
        if quiet is None
        else {
            "last": w.day(quiet.last),
            "days": _days(quiet.days),
            "usual": _days(max(round(quiet.usual_days), 1)),
            "chance": in_hundred(quiet.chance),
        },
        "vessels": [_vessel(yard, v) for v in one.vessels],
        "bran": ""
        if one.bran is None
        else _("%(left)s left; a day takes about %(day)s")
        % {
            "left": w.kg(one.bran.left_kg, yard.units),
            "day": w.grams(1000 * one.bran.daily_kg[1], yard.units),
        },
    }


def _vessel(yard: Yard, vessel: VesselFacts) -> dict[str, str]:
    stage = "dirty" if vessel.stage == "empty" and vessel.dirty else vessel.stage
    said = []
    if vessel.kg:
        said.append(w.kg(vessel.kg, yard.units))
    if vessel.full_on is not None and vessel.full_on[1] is not None:
        low, middle, high = (
            w.day(day) if day else _("later than foreseen") for day in vessel.full_on
        )
        said.append(_("full about %(m)s (%(l)s – %(h)s)") % {"m": middle, "l": low, "h": high})
    if vessel.failing is not None:
        said.append(_("fails: %(chance)s") % {"chance": in_hundred(vessel.failing)})
    return {"name": vessel.name, "stage": w.word(w.STAGES, stage), "said": "; ".join(said)}


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


def figures_page(yard: Yard, found: Figures) -> list[dict[str, str]]:
    """Figures that those who pay ask for; how each is counted stands beside it."""
    low, middle, high = found.kept_kg
    ended = found.sound + found.failed
    rows = [
        (
            _("scraps into vessels"), w.kg(middle, yard.units), w.kg_range(low, high, yard.units),
            _("As logged by the places; %(n)s of it was weighed, the rest counted by bowls or read "
              "in litres.") % {"n": w.share(found.weighed_share)},
        ),
        (
            _("weighed on rounds"), w.kg(found.fetched_kg, yard.units), "",
            _("Contents of fetched vessels, contamination taken off (%(kg)s).")
            % {"kg": w.kg(found.contamination_kg, yard.units)},
        ),
        (
            _("places still at it"), f"{found.active[1]:.0f}",
            f"{found.active[0]:.0f} – {found.active[2]:.0f}",
            _("Of %(n)d places, by each one's silence. In one city %(share).0f of 100 vessels were "
              "still used when asked: here that would be %(m).0f.")
            % {"n": found.places, "share": 100 * found.share_elsewhere,
               "m": found.share_elsewhere * found.places},
        ),
        (
            _("finished vessels"), str(ended), "",
            _("%(n)d of them failed or were thrown away.") % {"n": found.failed},
        ),
        (
            _("ferment buried"), w.kg(found.buried_kg, yard.units), "",
            _("By what was in the vessels that places buried themselves."),
        ),
        (
            _("trainings"), str(found.trainings), "",
            ngettext("%(n)d person came.", "%(n)d people came.", found.trained)
            % {"n": found.trained},
        ),
        (
            _("rounds and visits"), f"{found.rounds} + {found.visits}", "",
            _("As written in the programme's log; questions: %(q)d, complaints: %(c)d.")
            % {"q": found.questions, "c": found.complaints},
        ),
        (
            _("hours given"), w.number(found.hours, 3), "",
            _("Trainings, visits, rounds and other hours that were written down."),
        ),
    ]  # fmt: skip
    return [
        {"of": of, "figure": figure, "range": range_, "how": how}
        for of, figure, range_, how in rows
    ]


def fleet_page(yard: Yard, found: Fleet) -> dict[str, str]:
    """What a running exchange of vessels takes."""

    def three(value: Three) -> str:
        return f"{value[1]:.0f} ({value[0]:.0f} – {value[2]:.0f})"

    litres = found.water_l
    return {
        "vessels": three(found.vessels),
        "resting": three(found.resting),
        "floor": _area(found.floor_m2),
        "weekly": f"{found.weekly:.0f}",
        "water": f"{w.litres(litres[1], yard.units)} "
        f"({w.litres(litres[0], yard.units)} – {w.litres(litres[2], yard.units)})",
        "hours": _("%(m)s h (%(l)s – %(h)s)")
        % dict(zip("lmh", (w.number(v, 2) for v in found.hours), strict=True)),
        "at_home": str(found.at_home),
    }


def where_form(there: Where | None, row: Any) -> dict[str, str]:
    """What the form on a place's whereabouts begins with."""
    return {
        "latitude": "" if row.latitude is None else f"{row.latitude:.5f}",
        "longitude": "" if row.longitude is None else f"{row.longitude:.5f}",
        "opens": "" if row.opens is None else row.opens.strftime("%H:%M"),
        "closes": "" if row.closes is None else row.closes.strftime("%H:%M"),
        "how": row.how,
    }
