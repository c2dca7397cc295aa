"""The lots of bran of a place: what to make, what is there, who has it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from sourloam import drawing
from sourloam.bran.cautions import cautions as bran_cautions
from sourloam.bran.keeping import least_strength
from sourloam.evidence import book
from sourloam.ledger.lot_demand import fresh_demand, order_kg, pace
from sourloam.ledger.lot_standing import (
    Facts,
    Standing,
    handed_on,
    in_store,
    makes,
    standing,
    under_way,
    way_of,
)
from sourloam.ledger.lots import LotState, WarnedOf
from sourloam.ledger.state import PlaceState
from sourloam.site import Site
from sourloam.web import wording as w
from sourloam.web.bran import lot_words as lw
from sourloam.web.bran import next_batch_words as batch
from sourloam.web.bran.next_batch import next_batch
from sourloam.web.forms import Asking, store_form, units_of
from sourloam.web.house import House, Inside
from sourloam.web.pictures import shown
from sourloam.web.place.slips import now, slips, visits

_MOST, _NAMED = 40, 6
_FORMS = ("bran_mixed", "bran_received", "bran_ordered", "bran_way_set")
_LEAST_KG = 0.0005


@dataclass(frozen=True)
class Neighbour:
    """Another place that the reader may see."""

    house: House
    state: PlaceState


def page(inside: Inside, others: Sequence[Neighbour] = ()) -> dict[str, Any]:
    """Everything that the template needs."""
    house, state = inside.house, inside.state
    site, units, today = state.site(), house.units, house.today
    found = next_batch(state, site, today, units)
    stock = in_store(state, site, today)
    way = way_of(state, site)
    due = now(visits(d for d in inside.dues if d.what == "bran"))
    ask = Asking(state, units_of(units))
    return {
        "headline": batch.headline(found, stock, today, units, _order(state, site, today)),
        "answer": _answer(stock, today, units) if state.lots else _first(),
        "pace": lw.pace_said(pace(state, site, today), units),
        "coming": _coming(under_way(state), units),
        "incoming": list(_incoming(inside, others)),
        "due": slips(due, house.id, units, state),
        "sacks": [sack(inside, lot, site) for lot in state.lots[:_MOST]],
        "batch": found.answer,
        "batch_title": batch.title(found, units),
        "fault": found.fault or (batch.dryness(found.answer) if found.answer else ""),
        "facts": batch.facts(found, units),
        "weigh": batch.weigh(found.answer, units) if found.answer else [],
        "keeping": batch.keeping(found.answer, way, units, found.wanted) if found.answer else [],
        "how": batch.how(found, fresh_demand(state, site, today), way, units),
        "made_of": w.word(lw.CARRIERS, way.carrier),
        "holders": [_holder(inside, lot, site) for lot in state.lots[:_MOST]],
        "forms": [store_form(kind, replace(ask, at=kind)) for kind in _FORMS],
        "may_bran": house.may("bran_mixed"),
        "cautions": cautions(),
    }


def _first() -> str:
    """What a place does that never had bran."""
    return _(
        "A vessel needs bran from its first layer on. Write down a bag that came, or make a batch "
        "of your own: below stands how."
    )


def _order(state: PlaceState, site: Site | None, today: dt.date) -> float | None:
    """What is to be ordered; None where bran is made here."""
    return None if makes(state) else order_kg(state, site, today)


def _answer(stock: tuple[Standing, ...], today: dt.date, units: str) -> str:
    """What is in store, and until when it may be used."""
    usable = [s for s in stock if s.usable]
    if not usable:
        return _("By the log there is no bran in store that may be used.")
    good = [s for s in usable if s.best_before >= today]
    left = {"left": w.about_bran(sum(s.lot.left_kg for s in good or usable), units)}
    if not good:
        return _("%(left)s in store, all past its best before: test it before you give it.") % left
    said = _("%(left)s in store; use %(lot)s first, it is best before %(day)s.") % {
        **left,
        "lot": good[0].lot.id,
        "day": w.day(good[0].best_before),
    }
    old = sum(s.lot.left_kg for s in usable if s not in good)
    if old <= _LEAST_KG:
        return said
    more = _("%(left)s more is past its best before: test it before you give it.")
    return f"{said} {more % {'left': w.about_bran(old, units)}}"


def _incoming(inside: Inside, others: Sequence[Neighbour]) -> Iterator[dict[str, Any]]:
    """Bran that another place of the reader wrote down as given to this one, and nobody here has:
    with all that its maker knows of it."""
    here = inside.house
    for other in others:
        for lot in other.state.lots:
            given = _given(lot, here.name)
            kg = given - _got(inside.state, lot.id) if given else 0.0
            if kg <= _LEAST_KG or lot.recalled is not None:
                continue
            facts = handed_on(lot, other.state, other.state.site(), here.today)
            if facts is not None:
                yield {
                    "lot": lot.id,
                    "from": other.house.name,
                    "said": _("%(mass)s of %(lot)s, from %(place)s")
                    % {"mass": w.bran(kg, here.units), "lot": lot.id, "place": other.house.name},
                    "fields": _told_of(facts, kg),
                }


def _given(lot: LotState, to: str) -> float:
    return math.fsum(r.body.mass_kg for r in lot.handed if r.body.to.casefold() == to.casefold())


def _got(state: PlaceState, name: str) -> float:
    mine = (r for lot in state.lots if lot.id == name for r in lot.came)
    return math.fsum(r.body.mass_kg for r in mine)


def _told_of(facts: Facts, kg: float) -> list[tuple[str, str]]:
    """Hidden fields of the entry that takes it in."""
    told = {
        "mass_kg:n1": kg,
        "strength:n1": facts.strength,
        "age_days:n1": facts.age_days,
        "moisture:n1": facts.moisture,
    }
    return [
        *((name, f"{value:.6g}") for name, value in told.items() if value is not None),
        ("carrier", facts.carrier),
    ]


def _coming(batches: tuple[LotState, ...], units: str) -> str:
    """What souring and drying batches are to bring: it counts as stock in the next batch's day."""
    kg = sum(lot.mixed.body.mass_kg for lot in batches if lot.mixed is not None)
    if not kg:
        return ""
    return _("%(mass)s more is souring or drying.") % {"mass": w.bran(kg, units)}


def cautions() -> list[dict[str, str]]:
    """The usual cautions of making, keeping and handing out bran."""
    return [{"text": _(c.text), "source": c.source} for c in bran_cautions((), True, True)]


def sack(inside: Inside, lot: LotState, site: Site | None) -> dict[str, Any]:
    """A lot on its plank."""
    found = _standing(inside, lot, site)
    picture = picture_of(lot, found, inside.house.units)
    return {
        "url": reverse("web:lot", args=[inside.house.id, lot.id]),
        "name": lot.id,
        "state": state_said(lot, inside.house.units),
        "drawing": shown(drawing.draw_sack(picture)),
        "want": _want(lot, found),
    }


def _standing(inside: Inside, lot: LotState, site: Site | None) -> Standing | None:
    """What a lot is worth today; nobody asks that of one that is used up."""
    if lot.stage == "used_up":
        return None
    return standing(lot, inside.state, site, inside.house.today)


def state_said(lot: LotState, units: str) -> str:
    """What it is now, with what is left."""
    state = w.word(lw.STAGES, lot.stage)
    if lot.stage in ("souring", "dried") and lot.mixed is not None:
        return f"{state}, {w.bran(lot.mixed.body.mass_kg, units)}"
    if lot.stage in ("store", "recalled") and lot.left_kg > _LEAST_KG:
        return f"{state}, {w.about_bran(lot.left_kg, units)}"
    return state


def _want(lot: LotState, found: Standing | None) -> str:
    if lot.recalled is not None:
        return _("recalled")
    if found is None or lot.stage != "store":
        return ""
    if found.today.condemned:
        return _("failed")
    if found.warned is not None:
        return _("recalled") if found.warned.recalled else _("failed")
    return "" if found.usable else _("too weak")


def picture_of(lot: LotState, found: Standing | None, units: str) -> drawing.SackPicture:
    """The lot as it lies there today."""
    share = lot.left_kg / lot.in_kg if lot.in_kg else 0.0
    strength, desc = None, ""
    if found is not None and lot.stage in ("store", "recalled"):
        low, middle, high = (
            x or 0.0
            for x in (
                found.today.strength.low, found.today.strength.median, found.today.strength.high,
            )
        )  # fmt: skip
        strength = (low, middle, high)
        desc = _("Strength %(middle)s living cells in a gram, %(low)s – %(high)s.") % {
            "middle": lw.cells(middle), "low": lw.cells(low), "high": lw.cells(high),
        }  # fmt: skip
    parameters = book().central(("bran_keeping.need", "bran_keeping.dose_most"))
    return drawing.SackPicture(
        lot.id,
        lot.stage,
        share,
        strength,
        need=float(least_strength(parameters)[0]),
        sign=w.short_day(lot.stored or lot.began),
        title=f"{lot.id}: {state_said(lot, units)}",
        desc=desc,
    )


def _holder(inside: Inside, lot: LotState, site: Site | None) -> dict[str, Any]:
    """A lot with whoever has it."""
    units = inside.house.units
    found = _standing(inside, lot, site)
    names = lot.vessel_names
    return {
        "name": lot.id,
        "url": reverse("web:lot", args=[inside.house.id, lot.id]),
        "state": state_said(lot, units),
        "worth": _worth(found, inside.house.today, units)
        if found is not None and lot.stage == "store"
        else "",
        "who": ", ".join(f"{r.body.to} ({w.bran(r.body.mass_kg, units)})" for r in lot.handed),
        "vessels": ", ".join(names[:_NAMED]) + (" …" if len(names) > _NAMED else ""),
    }


def _worth(found: Standing, today: dt.date, units: str) -> str:
    """How likely it is strong enough, what to give, until when; past that day, to test it."""
    if found.warned is not None:
        return warning_said(found.warned)
    if found.usable and found.lot.made_here and found.best_before < today:
        return _(
            "Strong enough %(chance)s; past its best before, %(day)s: test it, or throw it out"
        ) % {"chance": lw.in_100(found.today.chance_good), "day": w.day(found.best_before)}
    if not found.usable:
        return _("Too weak by its age: best before %(day)s") % {"day": w.day(found.best_before)}
    return _("Strong enough %(chance)s; today %(dose)s; best before %(day)s") % {
        "chance": lw.in_100(found.today.chance_good),
        "dose": dose_said(found, units),
        "day": w.day(found.best_before),
    }


def warning_said(found: WarnedOf) -> str:
    """What another place knows of a lot, and what follows from it here."""
    said = {"place": found.place, "day": w.day(found.day)}
    if found.recalled:
        return _("Recalled at %(place)s on %(day)s: give none of it.") % said
    return (
        _("At %(place)s this lot failed its test on %(day)s: give none of it before yours passes.")
        % said
    )


def dose_said(found: Standing, units: str) -> str:
    """Bran for a kilogram of scraps today."""
    if found.today.advised_g_per_kg is None or not found.usable:
        return _("do not use")
    return lw.dose(found.today.advised_g_per_kg, units)


def span_said(found: Standing) -> str:
    """Between which days it stops being strong enough."""
    good = found.today.good_days
    if (good.low or 0) < 1:
        return _("perhaps never strong, perhaps until %(day)s") % {
            "day": w.day(found.day(good.high))
        }
    return f"{w.day(found.day(good.low))} – {w.day(found.day(good.high))}"
