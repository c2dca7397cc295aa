"""From a question or a name to the page that answers it, two taps from anywhere."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

from django.urls import reverse
from django.utils.translation import gettext as _

from sourloam.web.finding.questions import QUESTIONS, Question
from sourloam.web.ground.sowing import choices, headline
from sourloam.web.house import House, Inside
from sourloam.web.setup.wishes import PLACES

_CHIPS = 8  # things that a question names beside it
_HITS = 12  # of a sort
_EVERYWHERE = 60  # things that a question names; where there are more, it names places
_PLACES = 24  # of many, the first; the others are found by their names
_ANSWERED = 8  # days of crops told in the list itself
_STEM = 4  # letters from which a longer word that was typed still counts
One = TypeVar("One")


@dataclass(frozen=True)
class Hit:
    """A way on: what it is, one line about it, and ``chips`` to choose among things."""

    what: str
    url: str
    why: str = ""
    chips: tuple[tuple[str, str], ...] = ()
    folded: bool = False  # the chips lie under the question: there are many


def answers(
    inside: Inside | None, houses: Sequence[House], asked: str, insides: Sequence[Inside] = ()
) -> list[Hit]:
    """Questions that hold the words asked for; all of them for no words. Where no place was
    chosen, a question names the things of ``insides`` that it is about, else the places."""
    known = [q for q in QUESTIONS if q.everywhere or inside or houses]
    found = matching(known, asked, lambda q: f"{q.title} {q.words}")
    return [_hit(question, inside, houses, insides) for question in found]


def crops(insides: Sequence[Inside], asked: str) -> list[Hit]:
    """Crops of that name, each with its day at these places."""
    if not asked:
        return []
    found = matching(choices(), asked, lambda one: one[1], strict=True)[:_HITS]
    answered = max(1, _ANSWERED // max(len(insides), 1))
    return [
        Hit(
            headline(inside, crop) if n < answered else name,
            f"{reverse('web:sowing', args=[inside.house.id])}?crop={crop}",
            inside.house.name,
        )
        for n, (crop, name) in enumerate(found)
        for inside in insides[:_ANSWERED]
    ]


def things(insides: Sequence[Inside], asked: str) -> list[Hit]:
    """Places, vessels, beds and lots of that name."""
    if not asked:
        return []
    every = [hit for inside in insides for hit in _named(inside)]
    return matching(every, asked, lambda hit: hit.what, strict=True)[:_HITS]


def _named(inside: Inside) -> Iterator[Hit]:
    place, name, state = inside.house.id, inside.house.name, inside.state
    yield Hit(name, reverse("web:shelf", args=[place]), _("the place"))
    for vessel in state.vessels:
        if vessel.retired is None:
            yield Hit(vessel.name, reverse("web:vessel", args=[place, vessel.id]), name)
    for bed in state.beds:
        yield Hit(bed.name, f"{reverse('web:beds', args=[place])}#bed-{bed.id}", name)
    for lot in state.lots:
        yield Hit(lot.id, reverse("web:lot", args=[place, lot.id]), name)


def _hit(
    question: Question, inside: Inside | None, houses: Sequence[House], insides: Sequence[Inside]
) -> Hit:
    if question.everywhere:
        url = _url(question)
        kinds = PLACES.items() if question.of == "kinds" else ()
        return Hit(
            str(question.title), url, chips=tuple((str(w), f"{url}?kind={k}") for k, w in kinds)
        )
    if inside is None:
        places = [(house.name, _url(question, house)) for house in houses]
        things = [
            (f"{name}, {one.house.name}", url)
            for one in insides
            for name, url in _chips(question.of, one)
        ]
        chips = things if 0 < len(things) <= _EVERYWHERE else places[:_PLACES]
        return Hit(str(question.title), places[0][1], chips=tuple(chips), folded=True)
    chips = list(_chips(question.of, inside))
    return Hit(str(question.title), _url(question, inside.house), chips=tuple(chips[:_CHIPS]))


def _url(question: Question, house: House | None = None) -> str:
    url = reverse(f"web:{question.page}", args=[house.id] if house else [])
    return f"{url}#{question.anchor}" if question.anchor else url


def _chips(of: str, inside: Inside) -> Iterator[tuple[str, str]]:
    """Things that a question is about, each with its own page."""
    place, state = inside.house.id, inside.state
    vessels = [(v, inside.stage(v)) for v in state.vessels if v.retired is None and v.added]
    if of in ("feed", "drain"):
        kind = {"feed": "fed", "drain": "drained"}[of]
        stages = {"feed": ("filling", "empty"), "drain": ("filling", "resting", "ready", "held")}
        some = [(v, stage) for v, stage in vessels if stage in stages[of]]
        for vessel, _stage in sorted(some, key=lambda one: stages[of].index(one[1])):
            yield vessel.name, reverse("web:vessel", args=[place, vessel.id]) + f"#log-{kind}"
    if of == "rescue":
        for vessel, _stage in vessels:
            if vessel.turn is not None:
                yield vessel.name, reverse("web:rescue", args=[place, vessel.id])
        for bed in state.beds:
            yield bed.name, reverse("web:rescue_bed", args=[place, bed.id])
    if of == "bran":
        for lot in state.lots:
            if lot.stage == "store":
                yield lot.id, reverse("web:lot", args=[place, lot.id])


def matching(
    every: Sequence[One], asked: str, text: Callable[[One], str], strict: bool = False
) -> list[One]:
    """Those that hold all words asked for; where none does and not ``strict``, any of them."""
    wanted = _words(asked)
    if not wanted:
        return list(every)
    held = [
        (one, [any(_meets(w, have) for have in _words(text(one))) for w in wanted]) for one in every
    ]
    whole = [one for one, found in held if all(found)]
    return whole or ([] if strict else [one for one, found in held if any(found)])


def whole_words(asked: str, text: str) -> int:
    """How many of the words asked for stand whole in a text."""
    return len(set(_words(asked)) & set(_words(text)))


def _meets(typed: str, word: str) -> bool:
    return word.startswith(typed) or (len(word) >= _STEM and typed.startswith(word))


def _words(text: str) -> list[str]:
    """Small letters without accents, parted at whatever is neither letter nor digit."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    return re.findall(r"[^\W_]+", "".join(c for c in plain if not unicodedata.combining(c)))
