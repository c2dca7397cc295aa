"""What a card says besides its figures: what stays out, what is normal, what can hurt."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sourloam.documents.speech import Speech

BLANKS = ("Begun", "Full, closed", "Rest until", "pH at the end")
_NEVER = (
    "Milk, juice, soup, oil; anything that drips",
    "Food already mouldy or rotten",
    "Large bones and shells",
    "Plastic, foil, stickers, “compostable” bags",
    "Ash, lime, vinegar, cleaning agents",
    "Soil, pet waste, cat litter, nappies",
)
_NORMAL = (
    "Smells sour, like pickles; a little of vinegar or yeast",
    "Pieces keep their shape",
    "White, thin, dry film on top",
    "Little liquid, or none",
    "A soft hiss when opened",
)
_ODD = (
    "Smells rotten, of bad eggs or ammonia",
    "Green, black or blue fur, larger than a coin",
    "Maggots or flies",
    "Lid bulges; tap drips or is blocked",
    "Still not sour when the rest is over",
)
# Short forms of the plan's cautions, the weightiest first; the plan has each with its source.
_CARE = {
    "hands": "Treat all of it as raw food: gloves, washed hands, never taste. A sour smell does "
    "not prove that germs are gone.",
    "opening": "Gas may stand under the lid: loosen it slowly, face turned away, in fresh air.",
    "acid_liquid": "The liquid is acid: it stings eyes and skin. Rinse an eye for a quarter of an "
    "hour and ask a doctor. Never with bleach. Never into stream, ditch or storm drain.",
    "meat": "Meat, fish, dairy: only fresh, a small share, with double bran and a longer rest.",
    "weak": "Pregnant, very young or with weak defences: leave opening and tipping to others.",
    "children": "Children sort and press; an adult opens, tips and looks at what smells wrong.",
    "lifting": "A full vessel is heavy: two people or a trolley.",
    "farmed_animals": "Never feed scraps, ferment or liquid to animals.",
    "hot_room": "Hot room: shade it, drain more often.",
    "cold_room": "Cold room: souring is slow; keep it free of frost.",
    "bran_dust": "Bran makes dust: pour low; close the bag.",
}
_MOST = 6


def panels(speech: Speech, call: Iterable[str]) -> dict[str, Any]:
    """The boxes that are alike on each card."""
    return {
        "never": _panel(speech, "Never put in", _NEVER),
        "normal": _panel(speech, "Normal", _NORMAL),
        "odd": _panel(speech, "Not normal: stop, ask", _ODD),
        "call": {"title": speech.say("Ask"), "lines": list(call)},
    }


def care(speech: Speech, applies: Iterable[str]) -> dict[str, Any]:
    """The cautions that apply here, in short."""
    found = set(applies)
    lines = [text for key, text in _CARE.items() if key in found][:_MOST]
    return _panel(speech, "Take care", lines)


def sentences() -> set[str]:
    """Every text of this page, for the list of translations."""
    titles = {"Never put in", "Normal", "Not normal: stop, ask", "Ask", "Take care"}
    return {*BLANKS, *_NEVER, *_NORMAL, *_ODD, *_CARE.values(), *titles}


def _panel(speech: Speech, title: str, lines: Iterable[str]) -> dict[str, Any]:
    return {"title": speech.say(title), "lines": [speech.say(line) for line in lines]}
