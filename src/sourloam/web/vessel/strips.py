"""How sure the drawn sourness is, and how the strips that were read agree with it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from django.utils.translation import gettext as _

from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.state import Record, VesselState
from sourloam.web import wording as w
from sourloam.web.vessel.foresight import Foresight, Spread

_MOST = 2  # strips told, the newest first


def drawn_said(vessel: VesselState, seen: Foresight | None, today: dt.date) -> list[str]:
    """The newest layer's range, then each late strip beside what was foreseen for its day."""
    turn = vessel.turn
    if turn is None or seen is None or seen.raw.get("began") != turn.began.day.isoformat():
        return []
    now = seen.number("ph_newest_now")
    told = []
    if now is not None:
        said = (
            _(
                "The colour is the middle of what is foreseen; beside each layer stands its range, "
                "eight in ten. Newest layer: pH %(ph)s (%(range)s)."
            )
            if seen.layer_ph_ends
            else _("Drawn is the middle of what is foreseen. Newest layer: pH %(ph)s (%(range)s).")
        )
        told.append(said % {"ph": _ph(now.middle), "range": _ends(now)})
    strips = [r for r in turn.phs if r.body.of == "solid"][-_MOST:]
    return told + [said for one in reversed(strips) if (said := _beside(one, seen))]


def _beside(strip: Record[b.PhRead], seen: Foresight) -> str:
    """A strip and the band of its day, each with its own error; empty where none was foreseen."""
    band = _band_on(seen.raw.get("ph_newest"), strip.day)
    if band is None:
        return ""
    read, error = strip.body.ph, book()["forecast.strip.error"].value
    data = {"day": w.day(strip.day), "read": _ph(read), "range": _ends(band)}
    if read > band.high + error:
        return (
            _(
                "A strip of %(day)s on the solid read %(read)s, less sour than foreseen "
                "(%(range)s): a drier or colder piece, or the forecast errs. Try another piece."
            )
            % data
        )
    if read < band.low - error:
        return (
            _("A strip of %(day)s on the solid read %(read)s, sourer than foreseen (%(range)s).")
            % data
        )
    return (
        _(
            "A strip of %(day)s on the solid read %(read)s: it agrees with what is foreseen "
            "(%(range)s)."
        )
        % data
    )


def _band_on(band: object, day: dt.date) -> Spread | None:
    if not isinstance(band, Mapping) or day.isoformat() not in (
        days := [d[:10] for d in band["days"]]
    ):
        return None
    at = days.index(day.isoformat())
    points = [band[row][at] for row in ("low", "median", "high")]
    return None if None in points else Spread(*points)


def _ends(found: Spread) -> str:
    return f"{_ph(found.low)} – {_ph(found.high)}"


def _ph(value: float) -> str:
    return w.with_comma(f"{value:.1f}")
