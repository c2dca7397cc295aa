"""What a programme means for the climate: all places added up, drawn and told."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.documents.achieved_saved import saved_said, ways_drawn
from sourloam.documents.achieved_teller import Figures
from sourloam.drawing.palette import WIDE
from sourloam.drawing.ways import draw_ways
from sourloam.evidence import book
from sourloam.impact.saved import HOW, MEMBERS, SavedTogether
from sourloam.logbook.saving import SavedThere
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.place.achieved import speech
from sourloam.web.programmes.house import Yard


def climate(yard: Yard, there: SavedThere, driven_km: float) -> dict[str, Any]:
    """Everything that the template needs; ``waiting`` places have their turn still to come."""
    found = there.together
    waits = ngettext(
        "%(n)d place waits to be reckoned, this night at the latest.",
        "%(n)d places wait to be reckoned, this night at the latest.",
        there.waiting,
    ) % {"n": there.waiting}
    told: dict[str, Any] = {"waits": waits if there.waiting else "", "there": found is not None}
    if found is None:
        return told
    t = Figures(MEMBERS, speech(yard.units))
    ways = ways_drawn(t, found.routes, found.comparisons, HOW.years)
    places = ngettext("%(n)d place", "%(n)d places", found.places) % {"n": found.places}
    return told | {
        "of": _("%(kg)s of scraps, %(places)s") % {"kg": t.three(found.scraps), "places": places},
        "heading": _("What it means for the climate"),
        "picture": ways,
        "ways": shown(draw_ways(ways, WIDE)),
        "title": ways.title,
        "said": list(saved_said(t, found.comparisons, HOW.years)),
        "known": [*_known(there, driven_km), *_moving(t, found)],
    }


def _known(there: SavedThere, driven_km: float) -> list[str]:
    assert there.first is not None
    assert there.last is not None
    return [
        _(
            "Each place is reckoned in %(n)d possible worlds from all of its log, anew once a week "
            "where entries came: the oldest on %(first)s, the newest on %(last)s."
        )
        % {"n": MEMBERS, "first": w.day(there.first), "last": w.day(there.last)},
        _(
            "Places are added up world by world. What nobody knows of landfills, heaps and soils "
            "errs the same way at all of them, so the range does not shrink as places come in; "
            "scales, bowls and mixes err each by itself."
        ),
        _(
            "All bins are taken to go to one managed landfill or incinerator; nothing is credited "
            "for power or fertiliser. A place with another bin asks on its own page."
        ),
        _("Driving of rounds as written in the log, each kilometre like a car's: %(km)s km.")
        % {"km": w.number(driven_km, 3)},
    ]


def _moving(t: Figures, found: SavedTogether) -> list[str]:
    names = [t.row_name(key, book()[key].name) for key, _r in found.movers]
    if not names:
        return []
    return [
        _("What moves the saving against the landfill most: %(names)s.")
        % {"names": "; ".join(names)}
    ]
