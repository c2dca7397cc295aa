"""Which forms a page shows, and in which order: what is most likely wanted comes first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from django.utils.translation import gettext as _

from sourloam.web import wording as w
from sourloam.web.fields import Field, LogForm
from sourloam.web.forms import bran, ground, layer, readings, stores, vessel_work
from sourloam.web.forms.asking import Asking

#: What each kind of entry asks; kinds that are not here ask nothing.
ASKED: Mapping[str, Callable[[Asking], list[Field]]] = {
    "fed": layer.fed,
    "drained": vessel_work.drained,
    "ph_read": readings.ph_read,
    "looked": readings.looked,
    "photographed": readings.photographed,
    "fill_marked": readings.fill_marked,
    "weighed": readings.weighed,
    "warmth_read": readings.warmth_read,
    "opened": vessel_work.opened,
    "moved": vessel_work.moved,
    "judged": vessel_work.judged,
    "emptied": vessel_work.emptied,
    "noted": vessel_work.noted,
    "vessel_added": vessel_work.vessel_added,
    "buried": ground.buried,
    "planted": ground.planted,
    "harvested": ground.harvested,
    "liquid_fed": ground.liquid_fed,
    "bed_added": ground.bed_added,
    "measure_set": stores.measure_set,
    "bran_received": stores.bran_received,
    "bran_made": stores.bran_made,
    "bran_ordered": stores.bran_ordered,
    "bran_mixed": bran.bran_mixed,
    "bran_dried": bran.bran_dried,
    "bran_packed": bran.bran_packed,
    "bran_tested": bran.bran_tested,
    "bran_handed_out": bran.bran_handed_out,
    "bran_recalled": bran.bran_recalled,
    "bran_discarded": bran.bran_discarded,
    "bran_way_set": bran.bran_way_set,
}
#: Kinds that say nothing but that and when it was done.
BARE = ("set_aside", "washed")
NEW_MEASURE = (("measure:new", "measure"),)
CORRECTED = frozenset((*ASKED, *BARE))
_FIRST = {
    "empty": "fed",
    "dirty": "washed",
    "filling": "fed",
    "resting": "drained",
    "ready": "buried",
    "held": "buried",
    "failed": "emptied",
}
_OTHERS = {
    "empty": ("looked", "moved", "noted", "vessel_retired"),
    "dirty": ("fed", "looked", "moved", "noted", "vessel_retired"),
    "filling": (
        *("drained", "ph_read", "looked", "photographed", "fill_marked", "set_aside", "opened"),
        *("weighed", "warmth_read", "moved", "judged", "emptied", "noted"),
    ),
    "resting": (
        *("ph_read", "looked", "photographed", "opened", "moved", "judged", "buried", "emptied"),
        *("fed", "warmth_read", "weighed", "noted"),
    ),
}
_AFTER = ("emptied", "ph_read", "looked", "photographed", "drained", "judged", "moved", "noted")
_IN_A_BED = ("buried", "planted", "harvested", "liquid_fed", "noted")


def fields_of(kind: str, ask: Asking) -> tuple[Field, ...]:
    """The fields of one kind of entry."""
    return tuple(ASKED[kind](ask)) if kind in ASKED else ()


def vessel_forms(ask: Asking, stage: str, allowed: Iterable[str]) -> list[LogForm]:
    """Forms for a vessel of this stage of the kinds that the reader may write."""
    assert ask.vessel is not None
    first = _FIRST.get(stage, "fed")
    kinds = (first, *(k for k in _OTHERS.get(stage, _AFTER) if k != first))
    may = set(allowed)
    hidden = (("vessel", ask.vessel.id),)
    made = [
        _form(kind, ask, hidden, kind == first)
        for kind in kinds
        if kind in may and (kind != "buried" or ask.beds)
    ]
    if ask.place.stores.measures or "measure_set" not in may:
        return made
    bowl = store_form("measure_set", ask, NEW_MEASURE)
    return [replace(form, beside=bowl) if form.kind == "fed" else form for form in made]


def bed_forms(ask: Asking, allowed: Iterable[str]) -> list[LogForm]:
    """Forms of one bed."""
    assert ask.bed is not None
    may, hidden = set(allowed), (("bed", ask.bed.id),)
    kinds = (kind for kind in _IN_A_BED if kind in may and (kind != "buried" or ask.vessels))
    return [_form(kind, ask, hidden) for kind in kinds]


def store_form(kind: str, ask: Asking, hidden: tuple[tuple[str, str], ...] = ()) -> LogForm:
    """A form of the place as a whole."""
    return _form(kind, ask, hidden)


def _form(
    kind: str, ask: Asking, hidden: tuple[tuple[str, str], ...], first: bool = False
) -> LogForm:
    word = w.word(w.VERBS, kind)
    return LogForm(kind, word, _("Write it down"), fields_of(kind, ask), hidden, first)
