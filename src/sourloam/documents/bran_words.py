"""What the sheet of a batch of bran says besides its figures."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sourloam.bran.carriers import ALLERGENS, AS_IT_COMES, CARRIERS, INOCULA, SWEETS
from sourloam.documents.speech import Speech

WEIGH = ("What", "Mass", "Volume", "Level cups", "Done")
DAYS = ("Day", "Date", "What to do", "Done")
STEPS = {
    "mix": "Stir what is wet or sweet into hand-warm water that stood overnight; rub dry bran of "
    "an earlier batch into the carrier; then rub all together until even. A squeezed handful holds "
    "together, breaks at a touch and does not drip.",
    "close": "Press it without pockets of air into {packed} or more, a sheet on top, the lid on "
    "but able to vent. Keep it dark at {room}.",
    "vent": "Let gas out every day of the first week, about {gas} in all; press the sheet down.",
    "look": "Open it. Right: sweet-sour and malty; a white film is fine. Slurry pH {sour} or "
    "below: it is done ({low} to {high} is likely); above: close it for another week. Foul, or "
    "green, black or pink: discard it.",
    "dry": "Spread it {depth} deep on {area} of trays; turn it twice a day. It "
    "takes {first} to {last} days, from {wet} % water; {mass} are left when it is dry enough.",
    "pack": "Pack it airtight as soon as it is dry and cool; label it; keep it dark and cool.",
    "keep": "Leave it pressed and closed; take out what a week needs, press the rest down again.",
    "check": "Feel a bag: warm means that it spoils. Test its strength: {bran} in {milk} of "
    "milk at {warm} must be at pH {mark} or a firm curd within {hours} hours, and a jar without "
    "bran must not. Never drink it.",
    "use": "Use the oldest first.",
    "next": "Mix the next batch.",
}
_CARE = {
    "dust": "Dust: pour low, by an open window, with a mask that fits.",
    "people": "Asthma, an allergy or weak defences: leave it to others.",
    "mould": "Green, black or pink: do not sniff; damp it, bag it, discard it.",
    "gas": "Never seal it in glass; open it away from the face.",
    "damp": "Discard a bag that is warm, damp, caked or musty.",
    "food": "Not food, not feed: keep it from children, pets and stock.",
    "heat": "Warm it gently, thermometer in the bran; no naked flame, no unwatched oven.",
    "pests": "Cover the trays with a cloth; take them in at night.",
    "rules": "Making it for others may be ruled where you are: ask first.",
}


def care(speech: Speech, applies: Iterable[str]) -> dict[str, Any]:
    """The cautions that apply to this batch, in short."""
    found = set(applies)
    lines = [speech.say(text) for key, text in _CARE.items() if key in found]
    return {"title": speech.say("Take care"), "lines": lines}


def sentences() -> set[str]:
    """Every text of this page, for the list of translations."""
    carriers = {*CARRIERS.values(), *AS_IT_COMES.values()}
    things = {*carriers, *SWEETS.values(), *INOCULA.values(), "water"} - {"no sugar"}
    return {*WEIGH, *DAYS, *STEPS.values(), *_CARE.values(), *things, *ALLERGENS.values()}
