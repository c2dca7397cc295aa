"""When a trench may be planted, by the warmth of the soil on the day it was filled."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.opening import opening
from sourloam.ledger.state import BedState, Record
from sourloam.web import wording as w
from sourloam.web.house import Inside

_GONE_DAYS = 200  # a trench that old is ground like any other
_SEASON_DAYS = 365
Trench = tuple[Record[b.Buried], dt.date, str]


class Waits:
    """Waits of the trenches of one place."""

    def __init__(self, inside: Inside) -> None:
        self.today = inside.house.today
        site = inside.state.site()
        self._stated = site.ground.wait_days if site else None
        back = dt.timedelta(days=_SEASON_DAYS)
        self.ground = opening(site, self.today - back, 2 * _SEASON_DAYS) if site else None
        self._known: dict[str, list[Trench]] = {}

    def plantable_on(self, record: Record[b.Buried]) -> dt.date:
        """The first day on which seed may go into a trench."""
        if self.ground is not None:
            days = self.ground.wait_days(record.day, self._stated)
        else:
            days = round(self._stated or book()["ground.wait.warm"].high)
        return record.day + dt.timedelta(days=days)

    def trenches(self, bed: BedState) -> list[Trench]:
        """Trenches that still show: record, day, and working, soon or open."""
        if bed.id not in self._known:
            self._known[bed.id] = list(self._trenches(bed))
        return self._known[bed.id]

    def _trenches(self, bed: BedState) -> Iterator[Trench]:
        for record in bed.burials:
            if (self.today - record.day).days > _GONE_DAYS:
                continue
            day = self.plantable_on(record)
            near = (day - self.today).days <= 7
            state = "open" if day <= self.today else "soon" if near else "working"
            yield record, day, state

    def working(self, bed: BedState) -> list[tuple[Record[b.Buried], dt.date]]:
        """Trenches that may not be planted yet."""
        return [(r, day) for r, day, state in self.trenches(bed) if state != "open"]

    def standing(self, bed: BedState) -> list[Record[b.Planted]]:
        """What was planted and not harvested since, within a year."""
        picked = {r.body.crop: r.at for r in bed.harvests}
        return [
            r
            for r in bed.plantings
            if (self.today - r.day).days < _SEASON_DAYS
            and not (r.body.crop in picked and picked[r.body.crop] > r.at)
        ]

    def explained(self, bed: BedState) -> str:
        """How the waits were reckoned, with the last one's figures."""
        if not bed.burials:
            return ""
        last = bed.burials[-1]
        days = (self.plantable_on(last) - last.day).days
        waited = ngettext("%(n)d day", "%(n)d days", days) % {"n": days}
        if self._stated is not None:
            return _("The place's own rule: %(wait)s after burying.") % {"wait": waited}
        return _(
            "The usual wait is two to four weeks in warm soil; cold soil works more slowly. For "
            "the trench of %(day)s the soil's warmth makes it %(wait)s. Sow a few quick seeds "
            "there first: if they come up, the ground is ready."
        ) % {"day": w.day(last.day), "wait": waited}
