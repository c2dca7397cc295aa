"""What happens to a lot of bran: mixed, dried, packed, tested, handed out, recalled, thrown out."""

from __future__ import annotations

import datetime as dt

from django.utils.translation import gettext as _

from sourloam.ledger import bran_bodies
from sourloam.web.bran import lot_words as lw
from sourloam.web.fields import Field, choices, trimmed
from sourloam.web.forms.asking import Asking


def bran_mixed(ask: Asking) -> list[Field]:
    """A batch that is closed to sour."""
    lots = [("", _("none")), *((lot.id, lot.id) for lot in ask.place.lots[:12])]
    return [
        Field(
            "text", "lot:slug", _("Call the lot"), id=ask.id("lot"), value=_suggested(ask),
            hint=_("Give each lot a name of its own: by it a lot is found again at every place."),
            required=True,
        ),
        ask.mass("mixed", _("Dry bran that it is to give, %(unit)s"), required=True),
        Field("pills", "carrier", _("Made of"), choices=choices(lw.CARRIERS)),
        Field("pills", "inoculum", _("Started with"), choices=choices(lw.INOCULA)),
        Field(
            "select", "of_lot", _("Earlier lot that it was started with"), id=ask.id("of-lot"),
            choices=lots,
        ),
        ask.note("mixed-note"),
    ]  # fmt: skip


def _suggested(ask: Asking) -> str:
    """A name that no other lot of the place has: the day, and a number where it is taken."""
    today = dt.date.today()
    taken, name = {lot.id for lot in ask.place.lots}, f"bran-{today:%Y%m%d}"
    number = 2
    while name in taken:
        name, number = f"bran-{today:%Y%m%d}-{number}", number + 1
    return name


def bran_dried(ask: Asking) -> list[Field]:
    """It is dry; its moisture if somebody measured it."""
    return [
        Field(
            "number", "moisture:n0.01", _("Water in it, %, if you measured it"),
            id=ask.id("moisture"), min="1", max="60",
            hint=_("A weighed spoonful, dried hard and weighed again, tells it."),
        ),
        ask.note("dried-note"),
    ]  # fmt: skip


def bran_packed(ask: Asking) -> list[Field]:
    """Weighed into the store."""
    return [
        ask.mass("packed", _("Weight, %(unit)s"), required=True),
        _warm(ask, "store_c", _("How warm it is where it is kept, %(unit)s")),
        ask.note("packed-note"),
    ]


def bran_tested(ask: Asking) -> list[Field]:
    """A test and what it showed."""
    hint = _(
        "Sour-drop test: hours until pH 4.6 or a firm curd; leave it empty if it did not sour in "
        "two days. Slurry and sealed jar: the pH. Plate count: the power of ten in a gram."
    )
    return [
        Field("pills", "test", _("Which test"), choices=choices(lw.TESTS), required=True),
        Field(
            "number", "result:n1", _("What it showed"), id=ask.id("result"), min="0", max="240",
            hint=hint,
        ),
        _warm(ask, "temperature_c", _("How warm the jar stood, %(unit)s")),
        ask.note("tested-note"),
    ]  # fmt: skip


def bran_handed_out(ask: Asking) -> list[Field]:
    """So much to somebody."""
    return [
        Field("text", "to", _("To whom: a person or a place"), id=ask.id("to"), required=True),
        ask.mass("handed", _("Weight, %(unit)s"), required=True),
        ask.note("handed-note"),
    ]


def bran_recalled(ask: Asking) -> list[Field]:
    """Called back, and why."""
    return [ask.note("recalled-note", _("Why"))]


def bran_discarded(ask: Asking) -> list[Field]:
    """Thrown out."""
    return [
        ask.mass("discarded", _("Weight, %(unit)s"), required=True),
        ask.note("discarded-note", _("Why")),
    ]


def bran_way_set(ask: Asking) -> list[Field]:
    """How bran is made here, where it is kept, what its parts cost; filled with what holds now."""
    ways = ask.place.stores.bran_ways
    now = ways[-1].body if ways else bran_bodies.BranWaySet()
    litres = ask.units.factors["volume"]
    prices = (
        ("carrier_price", _("A kilogram of carrier costs")),
        ("sweet_price", _("A kilogram of the sugar source costs")),
        ("inoculum_price", _("A kilogram or litre of inoculum costs")),
        ("energy_price", _("A kilowatt hour costs")),
        ("bag_price", _("Bags for a kilogram of bran cost")),
    )
    return [
        Field(
            "pills", "drying", _("Dried in"), choices=choices(lw.DRYINGS), value=now.drying or "air"
        ),
        Field(
            "number", "humidity:n0.01", _("Relative humidity of that air, %"),
            id=ask.id("humidity"), min="5", max="95",
            value="50" if now.humidity is None else trimmed(100 * now.humidity),
        ),
        Field(
            "pills", "inoculum", _("Started with"), choices=choices(lw.INOCULA),
            value=now.inoculum or "bought",
        ),
        Field(
            "pills", "sweet", _("Sugar source"), choices=choices(lw.SWEETS),
            value=now.sweet or "molasses",
        ),
        _warm(ask, "store_c", _("How warm it is where it is kept, %(unit)s"), now.store_c),
        Field(
            "number", f"container_l:n{litres:.9g}",
            _("A container for souring holds, %(unit)s") % {"unit": ask.units.words["volume"]},
            id=ask.id("container"), min="0.1", max="1000",
            value="" if now.container_l is None else trimmed(now.container_l / litres),
        ),
        *(_price(ask, name, word, getattr(now, name)) for name, word in prices),
    ]  # fmt: skip


def _price(ask: Asking, name: str, word: str, value: float | None) -> Field:
    shown = "" if value is None else trimmed(value)
    return Field("number", f"{name}:n1", word, id=ask.id(name), value=shown, max="100000")


def _warm(ask: Asking, path: str, word: str, value: float | None = None) -> Field:
    shown = "" if value is None else trimmed(value * 1.8 + 32 if ask.us else value)
    return Field(
        "number", f"{path}:f" if ask.us else f"{path}:n1",
        word % {"unit": ask.units.words["temperature"]}, id=ask.id(path), min="-30",
        max="110" if ask.us else "45", value=shown,
    )  # fmt: skip
