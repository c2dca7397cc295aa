"""The shelf: vessels as they stand, each with its name, its state and its paper tag."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _

from sourloam import drawing
from sourloam.ledger.state import VesselState
from sourloam.ledger.work import Due
from sourloam.site.ordering import in_order
from sourloam.web import wording as w
from sourloam.web.addresses import address
from sourloam.web.forms import units_of
from sourloam.web.house import Inside
from sourloam.web.pictures import picture_of, shown
from sourloam.web.place.slips import Visit, is_soon, slip_key, tag

LITRES = (1.0, 1500.0)  # what a vessel put up by hand may hold
_NEAR_DAYS = 2  # work that near hangs on the shelf already
_ORDER = ("filling", "failed", "ready", "held", "dirty", "resting", "empty")


@dataclass(frozen=True)
class Standing:
    """A vessel on the shelf; ``keep`` marks a page that a phone holds for when there is no
    signal, ``work`` names the slip of what it wants."""

    url: str
    name: str
    state: str
    drawing: SafeString
    want: str
    soon: bool
    keep: bool
    work: str


def standing(
    inside: Inside, found: Sequence[Visit], first: int = 0, most: int = 60, idle: bool = True
) -> tuple[list[Standing], int]:
    """Vessels ``first`` to ``first + most`` in the order of what they want, and how many stand;
    without ``idle`` those are left out that are empty and want nothing, unless all are."""
    led: dict[str, Due] = {}
    for visit in found:
        if visit[0].thing is not None and visit[0].thing[0] == "vessel":
            led.setdefault(visit[0].thing[1], visit[0])
    wanting = {vessel for vessel, due in led.items() if not is_soon(due)}
    rows = [v for v in inside.state.vessels if v.retired is None and v.added]
    rows.sort(key=lambda v: (v.id not in wanting, _ORDER.index(inside.stage(v)), in_order(v.name)))
    busy = rows if idle else [v for v in rows if v.id in wanting or inside.stage(v) != "empty"]
    some = (busy or rows)[first : first + most]
    return [_standing(inside, vessel, led.get(vessel.id)) for vessel in some], len(rows)


def _standing(inside: Inside, vessel: VesselState, due: Due | None) -> Standing:
    stage = inside.stage(vessel)
    near = due is not None and (due.on - inside.house.today).days <= _NEAR_DAYS
    return Standing(
        url=address("vessel", inside.house.id, vessel.id),
        name=vessel.name,
        state=w.word(w.STAGES, stage),
        drawing=shown(_drawn(inside, vessel, stage)),
        want=tag(due) if due is not None and near else "",
        soon=due is not None and is_soon(due),
        keep=vessel.turn is not None,
        work=slip_key(inside.house.id, due) if due is not None else "",
    )


def _drawn(inside: Inside, vessel: VesselState, stage: str) -> str:
    """The small drawing, made once for a language as long as the vessel stays as it is."""
    kept = inside.known.vessels[vessel.id].drawings
    language = get_language() or ""
    if language not in kept:
        picture = picture_of(vessel, stage, inside.state, inside.foreseen.get(vessel.id))
        kept[language] = drawing.draw_vessel(picture, large=False)
    return kept[language]


def holds(system: str) -> dict[str, str]:
    """How the form of a new vessel asks what it holds, in the reader's unit."""
    units = units_of(system)
    low, high = (f"{end / units.factors['volume']:.4g}" for end in LITRES)
    word = _("What it holds, %(unit)s, if of another kind") % {"unit": units.words["volume"]}
    return {"word": word, "least": low, "most": high}


def headlines(found: Sequence[Visit], most: int) -> list[str]:
    """What the day asks, in one line, after none, one, up to ``most`` pieces of work are done: a
    page without signal counts on."""
    wanting = [visit[0] for visit in found if not is_soon(visit[0])]
    many = len(wanting)
    vessels = all(due.thing is not None and due.thing[0] == "vessel" for due in wanting)
    return [_wanting(many - done, vessels) for done in range(min(most, many) + 1)]


def _wanting(many: int, vessels: bool) -> str:
    if not many:
        return _("Nothing wants you today")
    if vessels:
        said = ngettext("%(n)d vessel wants you", "%(n)d vessels want you", many)
    else:
        said = ngettext("%(n)d thing wants you", "%(n)d things want you", many)
    return said % {"n": many}


def summary(inside: Inside) -> str:
    """So many filling, so many resting."""
    stages = Counter(inside.stage(v) for v in inside.state.vessels if v.retired is None)
    return ", ".join(_so_many(s, stages[s]) for s in _ORDER if stages[s])


def _so_many(stage: str, n: int) -> str:
    """A number with its state, in the number that the language asks for."""
    said = {
        "empty": ngettext("%(n)d empty", "%(n)d empty", n),
        "ready": ngettext("%(n)d ready to bury", "%(n)d ready to bury", n),
        "held": ngettext(
            "%(n)d ready, waits for free ground", "%(n)d ready, wait for free ground", n
        ),
        "failed": ngettext("%(n)d failed to sour", "%(n)d failed to sour", n),
        "dirty": ngettext("%(n)d wants washing", "%(n)d want washing", n),
    }
    return said.get(stage, f"%(n)d {w.word(w.STAGES, stage)}") % {"n": n}
