"""One vessel of the page to play with, drawn as it stands on a day, and a line about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam import drawing
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.try_it.model import Outcome, body_of
from sourloam.web.try_it.settings import Side, Trial, most_of

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
    """A closed lid rests; on the last day a vessel that failed is drawn so, another is ready."""
    if day == outcome.days:
        return "" if outcome.fails else "ready"
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
        _state(side, outcome, index),
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


def _state(side: Side, outcome: Outcome, index: int) -> str:
    """How it is drawn: a lid ajar, closed, or on the last day failed."""
    if _has_failed(outcome, index + 1):
        return "failed"
    filling = side.body == "pail" and index <= outcome.layer_days[-1]
    return "filling" if filling or side.opened else "closed"


def _has_failed(outcome: Outcome, day: int) -> bool:
    return day == outcome.days and outcome.fails


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
    ph = outcome.ph_of_layer(number - 1, index)
    failed = _has_failed(outcome, day)
    how = w.word(w.STAGES, "failed") if failed else w.word(w.SOURNESS, drawing.sourness(ph))
    said = {"how": how, "ph": w.with_comma(f"{ph:.1f}")}
    parts = [
        layers,
        (_("%(how)s, newest pH %(ph)s") if failed else _("newest: %(how)s, pH %(ph)s")) % said,
    ]
    bad = int(outcome.layer_poor[:, index].sum())
    if bad and not failed:
        parts.append(ngettext("%(n)d spoiled", "%(n)d spoiled", bad) % {"n": bad})
    if outcome.mouldy[index]:
        parts.append(_("mould on top"))
    if trial.body == "pail":
        liquid = float(outcome.liquid_ml[1, index])
        parts.append(_("%(amount)s drained") % {"amount": w.liquid(liquid, trial.units)})
    return ", ".join(parts)
