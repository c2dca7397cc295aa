"""Temperature records, kitchen and shed, ground at depth, frost.

Air: a ``Daily`` from a person's table (``read_csv``), from a few numbers (``from_monthly_means``,
``from_mean_and_swing``) or from the packaged record; ``year_ensemble`` makes possible futures
of it, ``(members, days)``. From those follow where the vessels stand (``room_temperature``) and
the ground (``ground_temperature_c``, ``ground_workable``). The ground and the rooms want at
least 365 days at once: compute a long window, then cut out the days needed.
"""

from sourloam.climate import digging, ground, rain, room, seasons, weather
from sourloam.climate.curve import from_mean_and_swing, from_monthly_means
from sourloam.climate.daily import ClimateError, Daily, monthly_means_c
from sourloam.climate.digging import ground_frozen, ground_workable
from sourloam.climate.ground import Ground, ground_temperature_c, soil_temperature_c
from sourloam.climate.packaged import packaged_rain_mm, packaged_record
from sourloam.climate.rain import (
    daily_rain_m,
    evapotranspiration_m,
    on_the_ground,
    usual_rain_mm,
)
from sourloam.climate.reading import read_csv
from sourloam.climate.room import Room, room_temperature
from sourloam.climate.seasons import season_of
from sourloam.climate.weather import year_ensemble

#: Ids of the evidence this room needs.
EVIDENCE: tuple[str, ...] = (
    *weather.EVIDENCE,
    *ground.EVIDENCE,
    *digging.EVIDENCE,
    *room.EVIDENCE,
    *seasons.EVIDENCE,
)
#: Further ids, for those who ask for rain.
RAIN_EVIDENCE: tuple[str, ...] = rain.EVIDENCE

__all__ = [
    "EVIDENCE",
    "RAIN_EVIDENCE",
    "ClimateError",
    "Daily",
    "Ground",
    "Room",
    "daily_rain_m",
    "evapotranspiration_m",
    "from_mean_and_swing",
    "from_monthly_means",
    "ground_frozen",
    "ground_temperature_c",
    "ground_workable",
    "monthly_means_c",
    "on_the_ground",
    "packaged_rain_mm",
    "packaged_record",
    "read_csv",
    "room_temperature",
    "season_of",
    "soil_temperature_c",
    "usual_rain_mm",
    "year_ensemble",
]
