"""What is done in a bed: a trench, a crop, a harvest, thinned liquid."""

from __future__ import annotations

from django.utils.translation import gettext as _

from sourloam.evidence import book
from sourloam.web.fields import Choices, Field, trimmed
from sourloam.web.forms.asking import Asking
from sourloam.web.forms.vessel_work import WORTH

DILUTION = "practice.dilution"
_UNCHOSEN = ("", "—")


def buried(ask: Asking) -> list[Field]:
    """Where and how deep; the trench that is due stands there already, else the usual one."""
    evidence = book()
    usual = {
        "depth_m": (_("Depth of the trench"), evidence["ground.trench.depth"].value),
        "width_m": (_("Width of the trench"), evidence["ground.trench.width"].value),
        "length_m": (_("Length of the trench"), 1.0),
        "cover_m": (_("Soil on top"), evidence["ground.trench.cover"].value),
    }
    measures = [
        _length(ask, path, word, ask.spot.get(path, value)) for path, (word, value) in usual.items()
    ]
    along = _("From the bed's beginning to the trench, %(unit)s")
    return [*_which(ask), *measures, _along(ask, "along", along, ask.spot.get("along_m"))]


def _which(ask: Asking) -> list[Field]:
    """The bed on a vessel's page, the vessel on a bed's."""
    if ask.bed is None:
        word = _("Bed")
        beds = _first(ask.beds, ask.spot.get("bed"))
        return [Field("select", "bed", word, id=ask.id("bed"), choices=beds, required=True)]
    word, vessels = _("Vessel"), _first(ask.vessels, ask.spot.get("vessel"))
    return [Field("select", "vessel", word, id=ask.id("from"), choices=vessels, required=True)]


def _first(choices: Choices, wanted: str | None) -> Choices:
    """The one that is due stands chosen."""
    return sorted(choices, key=lambda one: one[0] != wanted) if wanted else choices


def _length(ask: Asking, path: str, word: str, value_m: float) -> Field:
    return Field(
        "stepper",
        ask.units.name(path, "length"),
        f"{word}, {ask.units.words['length']}",
        id=ask.id(path),
        value=trimmed(value_m / ask.units.factors["length"], 3),
        min="1",
        max="100000",
        step="2" if ask.us else "5",
        required=True,
    )


def _along(ask: Asking, name: str, word: str, value_m: float | None = None) -> Field:
    said = word % {"unit": ask.units.words["bed"]}
    value = "" if value_m is None else trimmed(value_m / ask.units.factors["bed"], 3)
    return Field("number", ask.units.name("along_m", "bed"), said, id=ask.id(name), value=value)


def planted(ask: Asking) -> list[Field]:
    """Which crop, and where its row is."""
    row = _along(ask, "row", _("From the bed's beginning, %(unit)s"))
    return [_crop(ask, "crop"), row]


def harvested(ask: Asking) -> list[Field]:
    """Which crop, and how much."""
    return [_crop(ask, "pick"), ask.mass("pickmass", _("Weight, %(unit)s, if known"))]


def _crop(ask: Asking, name: str) -> Field:
    word = _("Crop")
    return Field(
        "select", "crop", word, id=ask.id(name), choices=[_UNCHOSEN, *ask.crops], required=True
    )


def liquid_fed(ask: Asking) -> list[Field]:
    """How much liquid, thinned how far."""
    evidence = book()
    return [
        Field(
            "stepper",
            ask.units.name("litres", "volume"),
            _("Drained liquid, %(unit)s") % {"unit": ask.units.words["volume"]},
            id=ask.id("litres"),
            value=ask.units.shown(evidence[WORTH].value / 1000, "volume"),
            min="0.01",
            step="0.05",
            required=True,
        ),
        Field(
            "stepper",
            "parts_of_water:n1",
            _("Parts of water to one of liquid"),
            id=ask.id("water"),
            value=trimmed(evidence[DILUTION].value),
            max="5000",
            step="50",
            required=True,
        ),
    ]


def bed_added(ask: Asking) -> list[Field]:
    """What it is called; its size stays as it was described."""
    return [Field("text", "name", _("What you call it"), id=ask.id("bedname"), required=True)]
