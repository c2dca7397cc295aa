"""Four pages for a class: three jars, what pupils see, and what the model foresaw."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any
from urllib.parse import urlencode, urlsplit

from sourloam.documents import class_words
from sourloam.documents.experiment import JAR_KG, MEASURED, Jar, Outlook
from sourloam.documents.jar_drawing import chart, three_jars
from sourloam.documents.qr import qr_svg
from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import Printing, typeset
from sourloam.evidence import book
from sourloam.units import factor


def class_kit(outlooks: Sequence[Outlook], members: int, printing: Printing) -> bytes:
    """Teacher's page, setting up, seeing, and what was foreseen; from ``foresee_jars``."""
    speech = printing.speech
    jars = [outlook.jar for outlook in outlooks]
    room, cold = (speech.figure(jars[i].temperature_c, "°C") for i in (0, 2))
    amounts = {
        "scraps": speech.figure(JAR_KG, "kg")
        if speech.system == "us"
        else f"{1000 * JAR_KG:.0f} g",
        "bran": speech.figure(1000 * JAR_KG * jars[0].bran_kg_per_kg, "g"),
        "room": room,
        "cold": cold,
        "cover": _cover(speech),
    }
    said = [speech.say(text, **amounts) for text in class_words.JARS]
    seen = speech.say("An empty chart of pH over two weeks, to draw on")
    foreseen = speech.say("pH foreseen in the three jars, with its range")
    data: dict[str, Any] = {
        "title": speech.say("Three jars turn sour"),
        "pages": [speech.say(text) for text in class_words.PAGES],
        "teacher": _parts(class_words.TEACHER, amounts, speech),
        "plan_title": speech.say("Two weeks"),
        "plan_head": [speech.say(word) for word in class_words.PLAN_HEAD],
        "plan": list(_plan(speech)),
        "steps": [speech.say(text, **amounts) for text in class_words.STEPS],
        "guess": [speech.say(text) for text in class_words.GUESSES],
        "jars": three_jars(jars, said, speech.say("Three jars, A, B and C")),
        "jars_alt": "; ".join(f"{j.letter}: {what}" for j, what in zip(jars, said, strict=True)),
        "days": [str(day) for day in MEASURED],
        "day_word": speech.say("Day"),
        "letters": [jar.letter for jar in jars],
        "smell": speech.say("smell"),
        "empty": chart((), seen, speech),
        "empty_alt": seen,
        "foreseen": chart(outlooks, foreseen, speech),
        "foreseen_alt": foreseen,
        "answers": [_row(outlook, speech) for outlook in outlooks],
        "answers_head": ["", *(f"{speech.say('Day')} {day}" for day in MEASURED)],
        "talk_title": speech.say("To talk about"),
        "talk": [speech.say(text) for text in class_words.TALK],
        "play_title": speech.say("What if…? Play on"),
        "play": _plays(jars, printing),
        "play_on": speech.say(class_words.PLAY_ON),
        "foot": speech.say(
            "Foreseen from {n} possible jars; ranges hold eight of ten. Local and school rules "
            "come first.",
            n=members,
        ),
    }
    return typeset("class_kit", data, printing)


def _plan(speech: Speech) -> Iterator[list[str]]:
    """What the class does on which day; dates are for the teacher to write."""
    first, between, last = class_words.PLAN
    for day in MEASURED:
        text, minutes = {MEASURED[0]: first, MEASURED[-1]: last}.get(day, between)
        yield [str(day), "", speech.say(text), minutes]


def _plays(jars: Sequence[Jar], printing: Printing) -> list[dict[str, str]]:
    """Codes that set up two of the jars on the page to play with; none where nothing is served."""
    first, *others = jars
    return [
        {
            "qr": qr_svg(play_address(printing.address, first, other, printing.system)),
            "said": printing.speech.say(
                "Jars {a} and {b}, to move everything", a=first.letter, b=other.letter
            ),
        }
        for other in others
        if printing.address
    ]


def play_address(address: str, first: Jar, second: Jar, system: str = "metric") -> str:
    """Where two jars stand side by side, on the server of ``address``."""
    at = urlsplit(address)
    said: dict[str, str] = {"body": "jar"} | ({"units": "us"} if system == "us" else {})
    for letter, jar in (("a", first), ("b", second)):
        said[f"{letter}_layer"] = f"{JAR_KG:g}"
        said[f"{letter}_bran"] = f"{1000 * jar.bran_kg_per_kg:g}"
        said[f"{letter}_warmth"] = f"{jar.temperature_c:g}"
    return f"{at.scheme}://{at.netloc}/try?{urlencode(said)}"


def _cover(speech: Speech) -> str:
    """Usual soil on top of what is buried."""
    row = book()["ground.trench.cover"]
    return speech.figure(row.value * factor(row.unit, "length"), "m")


def _row(outlook: Outlook, speech: Speech) -> list[str]:
    def one(value: float | None) -> str:
        return speech.number(value or 0.0, 1)

    return [outlook.jar.letter, *(f"{one(ph.low)}–{one(ph.high)}" for ph in outlook.ph)]


def _parts(
    parts: Sequence[tuple[str, Sequence[str]]], amounts: dict[str, str], speech: Speech
) -> list[dict[str, Any]]:
    return [
        {"title": speech.say(title), "lines": [speech.say(text, **amounts) for text in lines]}
        for title, lines in parts
    ]
