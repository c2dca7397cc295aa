"""The shelf: vessels as they stand, each with its name, its state and its paper tag."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam import drawing
from sourloam.ledger.state import VesselState
from sourloam.web import wording as w
from sourloam.web.house import Inside
from sourloam.web.pictures import picture_of, shown
from sourloam.web.slips import Slip, tag_of

_ORDER = ("filling", "failed", "ready", "held", "dirty", "resting", "empty")


@dataclass(frozen=True)
class Standing:
    """A vessel on the shelf; ``keep`` marks a page that a phone holds for when there is no
    signal."""

    url: str
    name: str
    state: str
    drawing: SafeString
    want: str
    late: bool
    soon: bool
    keep: bool


def standing(
    inside: Inside, slips: Sequence[Slip], first: int = 0, most: int = 60
) -> tuple[list[Standing], int]:
    """Vessels ``first`` to ``first + most`` in the order of what they want, and how many stand."""
    question = inside.question(0)
    staged = [
        (v, inside.stage(v, question))
        for v in inside.state.vessels
        if v.retired is None and v.added
    ]
    wanting = {s.vessel for s in slips if not s.soon}
    staged.sort(key=lambda row: (row[0].id not in wanting, _ORDER.index(row[1]), row[0].name))
    some = staged[first : first + most]
    return [_standing(inside, vessel, stage, slips) for vessel, stage in some], len(staged)


def _standing(inside: Inside, vessel: VesselState, stage: str, slips: Sequence[Slip]) -> Standing:
    tag = tag_of(vessel.id, slips)
    picture = picture_of(vessel, stage, inside.state, inside.foreseen.get(vessel.id))
    wanted = tag is not None and (not tag.soon or (tag.on - inside.house.today).days <= 2)
    return Standing(
        url=reverse("web:vessel", args=[inside.house.id, vessel.id]),
        name=vessel.name,
        state=w.word(w.STAGES, stage),
        drawing=shown(drawing.draw_vessel(picture, large=False)),
        want=tag.tag if tag is not None and wanted else "",
        late=tag is not None and tag.late,
        soon=tag is not None and tag.soon,
        keep=vessel.turn is not None,
    )


def headline(slips: Sequence[Slip]) -> str:
    """What the day asks, in one line."""
    wanting = {(s.place, s.vessel or s.key) for s in slips if not s.soon}
    if not wanting:
        return _("Nothing wants you today")
    if any(not s.vessel for s in slips if not s.soon):
        said = ngettext("%(n)d thing wants you", "%(n)d things want you", len(wanting))
    else:
        said = ngettext("%(n)d vessel wants you", "%(n)d vessels want you", len(wanting))
    return said % {"n": len(wanting)}


def summary(inside: Inside) -> str:
    """So many filling, so many resting."""
    question = inside.question(0)
    stages = [inside.stage(v, question) for v in inside.state.vessels if v.retired is None]
    counted = [(stages.count(stage), stage) for stage in _ORDER if stage in stages]
    return ", ".join(f"{n} {w.word(w.STAGES, stage)}" for n, stage in counted)
