"""One vessel of the page to play with, drawn as it stands on a day, and a line about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam import drawing
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.try_it.model import Outcome, body_of, line_ph
from sourloam.web.try_it.settings import Side, Trial, most_of
from sourloam.web.try_it.words import WEEKS, middle_of

_DRAINED_EVERY = 3  # days: the scenario's round with the jug
_JUG_ML = 3000.0
_DROP_ML = 3.0  # a day's liquid from which the tap is drawn dripping


@dataclass(frozen=True)
class Seen:
    """A trial with what becomes of both."""

    trial: Trial
    a: Outcome
    b: Outcome

    def outcome(self, letter: str) -> Outcome:
        """Of one vessel."""
        return self.a if letter == "a" else self.b


def stand_of(seen: Seen, letter: str, day: int) -> dict[str, Any]:
    """One vessel as it stands at the end of a day: its drawing and a line about it."""
    side, outcome = seen.trial.side(letter), seen.outcome(letter)
    line = _caption(seen.trial, outcome, day)
    picture = _picture(seen, side, outcome, day, letter, line)
    return {"svg": shown(drawing.draw_stage(picture)), "line": line}


def _picture(
    seen: Seen, side: Side, outcome: Outcome, day: int, letter: str, line: str
) -> drawing.StagePicture:
    index = day - 1
    liquid = float(outcome.liquid_ml[1, index])
    today = liquid - (float(outcome.liquid_ml[1, index - 1]) if index else 0.0)
    return drawing.StagePicture(
        _vessel(side, outcome, index),
        letter.upper(),
        side.warmth,
        w.warmth(side.warmth, seen.trial.units),
        title=_("Vessel %(letter)s on day %(n)d") % {"letter": letter.upper(), "n": day},
        desc=line,
        stone=side.plate / most_of("plate") if side.body == "pail" else 0.0,
        bran=side.bran / most_of("bran"),
        air=_air(side),
        jug=min(liquid / _JUG_ML, 1.0),
        jug_word=w.liquid(liquid, seen.trial.units).replace("US ", "") if liquid >= 1 else "",
        mark=_mark(side, outcome, day),
        spoilt_top=bool(outcome.mouldy[index]),
        drips=today >= _DROP_ML,
    )


def _air(side: Side) -> float:
    """How much air is drawn coming in: some as soon as it is more than usual."""
    shares = (side.opened / most_of("opened"), side.leak / most_of("leak"))
    return min(1.0, sum((1 + 2 * share) / 3 for share in shares if share > 0))


def _mark(side: Side, outcome: Outcome, day: int) -> str:
    """A closed lid rests; on the last day a vessel is late, spoiled (which its drawing says
    itself) or ready."""
    if day == outcome.days:
        late = "" if outcome.spoils else "late"
        return late if outcome.fails else "ready"
    open_ = side.opened or day <= outcome.layer_days[-1] + 1
    return "" if open_ else "resting"


def _vessel(side: Side, outcome: Outcome, index: int) -> drawing.VesselPicture:
    shape = body_of(side)
    layers = tuple(
        drawing.LayerPicture(
            outcome.layer_kg,
            outcome.ph_of_layer(i, index),
            spoiled=bool(outcome.layer_poor[i, index]),
        )
        for i in range(outcome.layers_on(index))
    )
    return drawing.VesselPicture(
        side.body,
        "failed" if outcome.spoils and index + 1 == outcome.days else "closed",
        shape.top_diameter_m,
        shape.base_diameter_m,
        shape.height_m,
        shape.sump_height_m,
        shape.headroom_m,
        layers,
        level=float(outcome.level[index]),
        liquid=_in_sump(outcome, index, 1e6 * shape.sump_m3),
        plate=side.body == "pail" and side.plate > 0,
        tap=side.body == "pail",
    )


def _in_sump(outcome: Outcome, index: int, room_ml: float) -> float:
    """Share of the sump that liquid fills since the jug was last held under the tap."""
    if room_ml <= 0:
        return 0.0
    last = index // _DRAINED_EVERY * _DRAINED_EVERY - 1
    before = float(outcome.liquid_ml[1, last]) if last >= 0 else 0.0
    return min(1.0, (float(outcome.liquid_ml[1, index]) - before) / room_ml)


def _caption(trial: Trial, outcome: Outcome, day: int) -> str:
    """What stands there, in words."""
    index = day - 1
    number = outcome.layers_on(index)
    layers = ngettext("%(n)d layer", "%(n)d layers", number) % {"n": number}
    failed = outcome.fails and day == outcome.days
    parts = [layers, failed_said(outcome) if failed else _newest(outcome, index)]
    bad = int(outcome.layer_poor[:, index].sum())
    if bad and not failed:
        parts.append(ngettext("%(n)d spoiled", "%(n)d spoiled", bad) % {"n": bad})
    if outcome.mouldy[index]:
        parts.append(_("mould on top"))
    if trial.body == "pail" and not failed:
        liquid = float(outcome.liquid_ml[1, index])
        parts.append(_("%(amount)s drained") % {"amount": w.liquid(liquid, trial.units)})
    return ", ".join(parts)


def _newest(outcome: Outcome, index: int) -> str:
    ph = outcome.ph_of_layer(outcome.layers_on(index) - 1, index)
    said = {"how": w.word(w.SOURNESS, drawing.sourness(ph)), "ph": _ph(ph)}
    return _("newest: %(how)s, pH %(ph)s") % said


def failed_said(outcome: Outcome) -> str:
    """In which way most of those that fail do so, with the newest layer's pH at the end."""
    ph, sour = float(outcome.newest_ph[1, -1]), middle_of(outcome.sour_days)
    said = {"ph": _ph(ph), "weeks": WEEKS}
    if outcome.spoils:
        return _("spoiled by butyric acid or ammonia, newest pH %(ph)s") % said
    if not np.isfinite(sour):
        return _("late: newest still not sour after %(weeks)d weeks of rest, pH %(ph)s") % said
    if ph > line_ph():
        return _("late: newest was sour, then lost its acid again, pH %(ph)s") % said
    text = ngettext(
        "late: newest sour %(days)d day after it went in, not steady after %(weeks)d weeks, "
        "pH %(ph)s",
        "late: newest sour %(days)d days after it went in, not steady after %(weeks)d weeks, "
        "pH %(ph)s",
        int(sour),
    )
    return text % (said | {"days": sour})


def _ph(value: float) -> str:
    return w.with_comma(f"{value:.1f}")
