"""What a burial sheet says besides its figures."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sourloam.documents.speech import Speech

HEAD = ("No.", "Week of", "Vessel", "Bed", "Ferment", "Trench", "Plant from", "Done on")
STEPS = (
    "Smell and look. Only what smells sour goes in; rotten: stop and ask.",
    "Open the trench as drawn; lay the soil beside it.",
    "Tip the ferment in, spread it along the length in the table.",
    "Chop it and mix it with soil of the trench.",
    "Cover it as drawn; heap the soil, it sinks. Lay mesh or a board on it for some weeks.",
    "Mark both ends with date and number. Wash the vessel, and your hands.",
)
# Short forms of the garden plan's cautions, the gravest first.
_CARE = {
    "raw": "Crops eaten raw grow here: keep ferment under the soil, wash what you pick, keep your "
    "rule's time from burying to picking.",
    "water": "Keep well away from wells, streams and ditches, and out of wet ground.",
    "animal_food": "Animal food went in: more soil on top, a longer wait; ask whether it may be "
    "buried.",
    "overfed": "Never more than the table says: nitrogen would wash into the groundwater.",
    "short_wait": "Short wait: plant only where the soil smells of earth.",
    "held": "Vessels that wait stay closed, out of frost; drain and smell them before burying.",
    "hands": "Gloves; treat it as raw food. Keep tetanus protection up to date.",
    "diggers": "Dogs, foxes and rats dig: cover well, lay mesh.",
    "farmed_animals": "Keep farmed animals off this ground as long as your rule says.",
    "winter_rest": "In cold ground it waits until spring: do not plant by the calendar alone.",
    "leaching": "Sandy soil lets nitrogen through: bury only shortly before crops.",
    "local": "Local rules come first.",
}


def care(speech: Speech, applies: Iterable[str]) -> dict[str, Any]:
    """The cautions that apply here, in short."""
    found = set(applies)
    lines = [speech.say(text) for key, text in _CARE.items() if key in found]
    return {"title": speech.say("Take care"), "lines": lines}


def sentences() -> set[str]:
    """Every text of this page, for the list of translations."""
    return {*HEAD, *STEPS, *_CARE.values(), "Take care"}
