"""Whether scraps and vessels fit each other at all, before anything is computed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import numpy as np

from sourloam import scraps, units
from sourloam.evidence import book
from sourloam.site.conversion import Supply
from sourloam.vessel.kinds import Vessel

YEAR_DAYS = 366


def mean_day_kg(supplies: Iterable[Supply], start: dt.date) -> float:
    """Scraps of a mean day of the first year, kg, with every uncertain value at its middle."""
    central = book().central(book().ids("waste"))
    days = np.datetime64(start, "D") + np.arange(YEAR_DAYS)
    return sum(
        float(scraps.daily_mass_kg(s.stream, s.calendar, days, central, None).mean())
        for s in supplies
    )


def check_size(vessel: Vessel, mean_kg: float, where: str) -> None:
    """ValueError if a mean day's scraps would fill more of these vessels than anybody could use."""
    most = book()["site.vessel.most_filled_a_day"].value
    needed_m3 = mean_kg / book()["site.vessel.fits"].value
    if needed_m3 > most * vessel.usable_m3:
        raise ValueError(
            f"{where}: a mean day's scraps ({units.show(mean_kg, 'mass', 'metric')}) would fill "
            f"{needed_m3 / vessel.usable_m3:,.0f} of these; give a larger vessel or fewer scraps"
        )
