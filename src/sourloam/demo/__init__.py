"""An invented season: the places of Alder Row, their vessels driven by the real model with one
hidden truth each, and the log that their people would have written.

``season`` makes it; the ``truth`` in it is for proving forecasts and is never shown.
"""

from sourloam.demo.season import DAYS, HiddenPlace, Season, SeasonPlace, season
from sourloam.demo.truth import PlaceTruth, TurnTruth

__all__ = ["DAYS", "HiddenPlace", "PlaceTruth", "Season", "SeasonPlace", "TurnTruth", "season"]
