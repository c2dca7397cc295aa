"""Where an entry that counts stands: with its vessel, its bed, or the place's stores."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import reverse

from sourloam import garden
from sourloam.ledger import bodies as b
from sourloam.ledger.state import BedState, PlaceState, Record, VesselState
from sourloam.web import wording as w
from sourloam.web.forms import Asking
from sourloam.web.forms.units import units_of
from sourloam.web.log.telling import crop_word


@dataclass(frozen=True)
class Found:
    """An entry with the thing that it is about and the page that shows it."""

    record: Record[b.Body]
    name: str
    url: str
    vessel: VesselState | None = None
    bed: BedState | None = None


def found(place: str, state: PlaceState, entry: str) -> Found | None:
    """The entry of that id if it counts; None if none does."""
    return next((one for one in _all(place, state) if str(one.record.entry) == entry), None)


def _all(place: str, state: PlaceState) -> Iterator[Found]:
    for vessel in state.vessels:
        url = reverse("web:vessel", args=[place, vessel.id])
        yield from (Found(r, vessel.name, url, vessel=vessel) for r in vessel.log)
    for bed in state.beds:
        url = reverse("web:beds", args=[place])
        yield from (Found(r, bed.name, url, bed=bed) for r in bed.log)
    stores, url = state.stores, reverse("web:stores", args=[place])
    yield from (Found(r, "", url) for r in stores.measures)
    url = reverse("web:lots", args=[place])
    for kept in (stores.bran_in, stores.bran_ordered, stores.bran_log, stores.bran_ways):
        yield from (Found(r, "", url) for r in kept)


def asking(state: PlaceState, one: Found, units: str, signs: w.Words) -> Asking:
    """What the form of that entry needs."""
    return Asking(
        state,
        units_of(units),
        vessel=one.vessel,
        bed=one.bed,
        beds=[(bed.id, bed.name) for bed in state.beds],
        vessels=[(vessel.id, vessel.name) for vessel in state.vessels],
        crops=crops(),
        signs=[(key, str(text)) for key, text in signs.items()],
    )


def crops() -> list[tuple[str, str]]:
    """Crops with their words, by the alphabet of the reader's language."""
    return sorted(((c, crop_word(c)) for c in garden.crop_names()), key=lambda c: c[1])
