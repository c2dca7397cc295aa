"""A vessel that is likely to fail: that comes first, with what helps where the reason is cold."""

from __future__ import annotations

from django.utils.translation import gettext as _

from sourloam.evidence import book
from sourloam.web import wording as w
from sourloam.web.vessel import foretold
from sourloam.web.vessel.foresight import Foresight

_OPEN = ("filling", "resting")  # stages in which something can still be done
_WARM = ("triage.remedy.warm_low_c", "triage.remedy.warm_high_c")


def is_at_risk(stage: str, seen: Foresight | None) -> bool:
    """Whether the page says first that it is likely to fail."""
    return stage in _OPEN and seen is not None and foretold.is_likely_to_fail(seen)


def remedy(seen: Foresight, units: str) -> str:
    """What helps, from what the page knows."""
    low, high = (book()[key].value for key in _WARM)
    stands = foretold.stands_at_c(seen)
    if stands is None or stands >= low:
        return _(
            "Open it and see and smell before anything more goes in; “Is this normal?” says what "
            "helps."
        )
    return _(
        "It stands at about %(stands)s: bring it where it is %(low)s to %(high)s, and count the "
        "days of rest from then on."
    ) % {
        "stands": w.warmth(stands, units),
        "low": w.warmth(low, units),
        "high": w.warmth(high, units),
    }
