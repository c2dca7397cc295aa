"""From a question or a name to the page that answers it, two taps from anywhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from django.urls import reverse
from django.utils.translation import gettext as _

from sourloam.web.finding.hits import Hit
from sourloam.web.finding.matching import matching
from sourloam.web.finding.questions import QUESTIONS, RESCUE, Question
from sourloam.web.finding.signs import signs
from sourloam.web.ground.sowing import choices, headline
from sourloam.web.house import House, Inside
from sourloam.web.setup.wishes import PLACES

_CHIPS = 8  # things that a question names beside it
_HITS = 12  # of a sort
_EVERYWHERE = 60  # things that a question names; where there are more, it names places
_PLACES = 24  # of many, the first; the others are found by their names
_ANSWERED = 8  # days of crops told in the list itself
#: Questions about vessels: those of which stages, the most likely first, and where on their page.
_AT = {
    "feed": (("filling", "empty"), "#log-fed"),
    "drain": (("filling", "resting", "ready", "held"), "#log-drained"),
    "close": (("filling",), "#log-set_aside"),
    "rest": (("resting", "ready", "held"), ""),
    "ph": (("resting", "ready", "filling", "held", "failed"), "#log-ph_read"),
    "bury": (("ready", "held", "resting"), "#log-buried"),
}


def answers(
    inside: Inside | None, houses: Sequence[House], asked: str, insides: Sequence[Inside] = ()
) -> list[Hit]:
    """Questions that hold the words asked for, all of them for no words; signs of that name beside
    the question about signs, which comes last. Where no place was chosen, a question names the
    things of ``insides`` that it is about, else the places."""
    known = [q for q in QUESTIONS if (q.everywhere or inside or houses) and (asked or not q.typed)]
    found = matching(known, asked, _text)
    seen = signs([inside] if inside else insides, asked)
    if not seen:
        return _opened([_hit(question, inside, houses, insides) for question in found], asked)
    first = [q for q in matching(found, asked, _text, strict=True) if q.of != RESCUE]
    odd = [q for q in known if q.of == RESCUE]
    hits = [_hit(question, inside, houses, insides) for question in (*first, *odd)]
    made = [*hits[: len(first)], *seen, *hits[len(first) :]]
    return _opened(made, asked) if len(seen) == 1 else made


def _opened(hits: list[Hit], asked: str) -> list[Hit]:
    """The first answer to what was typed lies open."""
    return [replace(hits[0], open=True), *hits[1:]] if hits and asked else hits


def _text(question: Question) -> str:
    return f"{question.title} {question.words}"


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
    if of in _AT:
        stages, anchor = _AT[of]
        some = [(v, stage) for v, stage in vessels if stage in stages]
        for vessel, _stage in sorted(some, key=lambda one: stages.index(one[1])):
            yield vessel.name, reverse("web:vessel", args=[place, vessel.id]) + anchor
    if of == RESCUE:
        for vessel, _stage in vessels:
            if vessel.turn is not None:
                yield vessel.name, reverse("web:rescue", args=[place, vessel.id])
        for bed in state.beds:
            yield bed.name, reverse("web:rescue_bed", args=[place, bed.id])
    if of == "bran":
        for lot in state.lots:
            if lot.stage == "store":
                yield lot.id, reverse("web:lot", args=[place, lot.id])
