"""What the sheet of a week says: how each piece of work goes, what to do where something is odd."""

from __future__ import annotations

from sourloam.documents.speech import Speech
from sourloam.evidence import book

_TEASPOON_ML = 5
HEAD = ("Day", "Work", "Done by", "How much, what you saw")
SHELF = ("Vessel", "Is", "Since", "Stands")
STAGES = {
    "filling": "filling: scraps go in here",
    "resting": "resting: stays closed",
    "ready": "judged sound: waits to be buried",
    "failed": "failed: nothing goes in; ask",
    "empty": "empty and clean",
    "dirty": "emptied: wash it",
}
WHERE = (
    "Bran, scoop, scale",
    "Gloves, apron, pH strips",
    "Scraps wait in",
    "The liquid goes to",
    "Spade, mesh, beds",
)
_HOW = {
    "Feed": "Let scraps drip; cut what is larger than an egg. Into an empty vessel: tap shut, grid "
    "in, a handful of bran first. Tip in and spread, at most {layer} high; dust bran out to the "
    "edge, press hard. More than that: in several layers, each with its share of the bran. Plate "
    "on, lid tight. Open once a day at most.",
    "Drain": "Bowl under the tap, open it, let it run out, shut it. Write down how much, even "
    "none. Use it that day on soil, a teaspoon ({spoon}) in {water} of water; half that for "
    "seedlings and pots. What smells rotten stays off plants.",
    "Look": "Loosen the lid slowly, face turned away, in fresh air. Smell, look, close it; write "
    "down what you saw.",
    "Judge": "Sour smell, pieces that keep their shape and a strip at pH {sour} or below: sound. "
    "Else let it rest a week more and write that down.",
    "Set aside": "When the plate just fits under the lid: dust the top, press, close. Write the "
    "day on it; bring it where others rest. Scraps go into the next clean, empty one.",
    "Bury": "Two people; only what smells sour. Trench as deep as the line says, ferment mixed "
    "with soil, at least {cover} of soil on top, mesh or a board over it. Mark both ends. Local "
    "rules come first.",
    "Wash": "Rinse and brush it, tap open, never with bleach. Let it dry; grid in, tap shut.",
}
_ODD = {
    "White, dry film; no liquid; soft hiss": "Normal. Close it.",
    "Rotten smell, bad eggs, ammonia": "Nothing more goes in. Drain it, that liquid off plants. "
    "Close it, mark it; begin the next vessel.",
    "Green, black or blue fur": "Small: an adult lifts it out, outdoors, gloves and mask; bran, "
    "press, plate, lid. Much: leave it closed, mark it.",
    "Flies or maggots": "Close it tight, outdoors in the shade; leave it closed {flies} days.",
    "Lid bulges": "Outdoors, face turned away, let gas out slowly; drain; close.",
    "Tap drips or is blocked": "A tray under it. Clear it from outside with a rod; never blow or "
    "suck.",
    "No bran left": "Put nothing in. Scraps wait cold, or go into the usual food waste.",
    "No empty vessel": "Scraps go into the usual food waste until one is washed.",
    "Liquid in an eye": "Rinse with water for a quarter of an hour; ask a doctor.",
}
CARE = (
    "Treat scraps, ferment and liquid as raw food: gloves, washed hands, never taste. A sour smell "
    "does not prove that germs are gone.",
    "Pregnant, very young or with weak defences: leave opening, tipping and mould to others.",
    "Never pour the liquid into a stream or a storm drain. Bran makes dust: pour low.",
)


def how(speech: Speech) -> list[list[str]]:
    """Each piece of work and how it goes."""
    careful = (book()["practice.dilution"].high or 0.0) / 2
    values = {
        "layer": speech.figure((book()["practice.layer"].high or 0.0) / 100, "m"),
        "spoon": f"{_TEASPOON_ML} mL",
        "water": speech.figure(_TEASPOON_ML * careful / 1000, "L"),
        "sour": speech.number(book()["triage.remedy.sour_ph"].value, 1),
        "cover": speech.figure((book()["practice.cover"].low or 0.0) / 100, "m"),
    }
    return [[speech.say(name), speech.say(text, **values)] for name, text in _HOW.items()]


def odd(speech: Speech) -> list[list[str]]:
    """What may be seen and what to do about it at once."""
    flies = speech.number(book()["triage.remedy.fly_rest"].value)
    return [[speech.say(seen), speech.say(deed, flies=flies)] for seen, deed in _ODD.items()]


def sentences() -> set[str]:
    """Every text of this file, for the list of translations."""
    found = {text for words in (STAGES, _HOW, _ODD) for text in words.values()}
    return {*found, *_HOW, *_ODD, *HEAD, *SHELF, *WHERE, *CARE}
