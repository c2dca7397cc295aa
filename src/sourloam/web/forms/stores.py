"""What belongs to the place as a whole: measures, and bran that comes in."""

from __future__ import annotations

from django.utils.translation import gettext as _

from sourloam.web.fields import Field
from sourloam.web.forms.asking import Asking


def measure_set(ask: Asking) -> list[Field]:
    """A measure's name and what it holds: weighed once, or by litres."""
    mass, volume = ask.units.words["mass"], ask.units.words["volume"]
    ways = [
        (f"mass_kg:n{ask.units.factors['mass']:.9g}", _("%(unit)s, weighed") % {"unit": mass}),
        (f"volume_l:n{ask.units.factors['volume']:.9g}", _("%(unit)s, filled") % {"unit": volume}),
    ]
    hint = _("Weighed is surer: the model then need not guess how loosely the scraps lie.")
    return [
        Field("text", "name", _("What you call it"), id=ask.id("measure"), required=True),
        Field(
            "pills", "size-way", _("One holds"), choices=ways, value=ways[0][0], hint=hint,
            required=True,
        ),
        Field(
            "stepper", "size-n", _("So much"), id=ask.id("size"), value="1", min="0.001",
            max="1100", step="0.1", required=True,
        ),
    ]  # fmt: skip


def bran_received(ask: Asking) -> list[Field]:
    """A bag that came: its lot, its weight, its strength if the label says so."""
    return [
        Field(
            "text", "lot:slug", _("Lot, as on the bag or as you call it"), id=ask.id("lot"),
            required=True,
        ),
        ask.mass("bran", _("Weight, %(unit)s"), required=True),
        Field(
            "number", "strength:n1", _("Live bacteria, power of ten per gram, if the bag says it"),
            id=ask.id("strength"), min="3", max="11",
        ),
        Field(
            "number", "age_days:n1", _("Days since it was packed, if the bag says it"),
            id=ask.id("age"), min="0", max="3660",
            hint=_("Age and dryness tell how strong it still is; so does a test that you do."),
        ),
        Field(
            "number", "moisture:n0.01", _("Water in it, %, if the bag says it"),
            id=ask.id("moisture"), min="1", max="60",
        ),
    ]  # fmt: skip


def bran_made(ask: Asking) -> list[Field]:
    """A lot that was made here."""
    return bran_received(ask)


def bran_ordered(ask: Asking) -> list[Field]:
    """So much was ordered."""
    return [ask.mass("order", _("Weight, %(unit)s"), required=True), ask.note("order-note")]
