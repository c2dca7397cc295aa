"""A burial before it is dug: where in the bed, how long, how deep, as the work of today has it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from django.utils.translation import gettext as _

from sourloam import drawing
from sourloam.ledger.state import BedState
from sourloam.ledger.work import Due
from sourloam.web import wording as w
from sourloam.web.fields import LogForm
from sourloam.web.ground.waits import Waits
from sourloam.web.house import Inside
from sourloam.web.pictures import bed_picture, shown


def to_dig(inside: Inside, vessel: str = "", bed: str = "") -> Due | None:
    """The burial that is proposed for a vessel, or the first one for a bed."""
    return next(
        (
            due
            for due in inside.dues
            if due.what == "bury"
            and "bed" in due.body
            and due.body["vessel"] in (vessel or due.body["vessel"],)
            and due.body["bed"] in (bed or due.body["bed"],)
        ),
        None,
    )


def with_picture(
    forms: Sequence[LogForm], inside: Inside, due: Due | None, waits: Waits | None = None
) -> list[LogForm]:
    """The form of a burial with the trench drawn before it."""
    beds = {bed.id: bed for bed in inside.state.beds}
    if due is None or due.body["bed"] not in beds:
        return list(forms)
    bed, units = beds[due.body["bed"]], inside.house.units
    drawn = (
        shown(drawing.draw_bed(dug_bed(bed, waits or Waits(inside), units, due))),
        shown(drawing.draw_trench_cut(_cut(due.body, bed, units))),
    )
    lead = _lead(due.body, bed, units)
    return [
        replace(form, drawn=drawn, lead=lead) if form.kind == "buried" else form for form in forms
    ]


def dug_bed(bed: BedState, waits: Waits, units: str, due: Due) -> drawing.BedPicture:
    """The bed from above with the trench that is to be dug."""
    body = due.body
    picture = bed_picture(bed, waits, units)
    dig = drawing.DigPicture(
        body["along_m"],
        body["width_m"],
        body["length_m"],
        _("dig here, %(long)s long") % {"long": w.metres(body["length_m"], units)},
        _("%(along)s from the beginning") % {"along": w.metres(body["along_m"], units)},
    )
    said = f"{dig.long}, {dig.along}"
    return replace(picture, dig=dig, desc="; ".join(filter(None, (said, picture.desc))))


def _cut(body: Mapping[str, Any], bed: BedState, units: str) -> drawing.TrenchCut:
    return drawing.TrenchCut(
        body["depth_m"],
        body["width_m"],
        body["cover_m"],
        _("%(deep)s deep") % {"deep": w.metres(body["depth_m"], units)},
        _("%(wide)s wide") % {"wide": w.metres(body["width_m"], units)},
        _("%(cover)s of soil on top") % {"cover": w.metres(body["cover_m"], units)},
        _("ferment, mixed with soil"),
        title=_("The trench in %(bed)s, from the side") % {"bed": bed.name},
    )


def _lead(body: Mapping[str, Any], bed: BedState, units: str) -> str:
    told = {key: w.metres(body[f"{key}_m"], units) for key in ("along", "length", "depth", "cover")}
    return _(
        "In %(bed)s, %(along)s from its beginning: dig %(length)s long and %(depth)s deep, put the "
        "ferment in, mix it with soil, and cover it with %(cover)s of soil. Then write down what "
        "you did."
    ) % {"bed": bed.name, **told}
