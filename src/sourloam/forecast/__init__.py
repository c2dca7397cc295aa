"""Forecasts that learn from the log: an ensemble of vessels, weighted and moved by what was read.

``forecast_vessel`` takes a ``Logged`` filling, what is known of its place (``kitchen``) and what
is believed of it (``Belief``), and gives a ``VesselForecast``. ``forecast_place`` does it for
every vessel of a place from its ledger; ``share_strength`` lets places learn from each other.
"""

from sourloam.forecast.belief import Belief, share_strength
from sourloam.forecast.kitchen import Kitchen, kitchen
from sourloam.forecast.logged import Layer, Logged, Look, Reading, Strip
from sourloam.forecast.outlook import VesselForecast
from sourloam.forecast.place import Learned, forecast_place, forecast_with_past, learn_place
from sourloam.forecast.vessel import EVIDENCE, Question, forecast_vessel

__all__ = [
    "EVIDENCE",
    "Belief",
    "Kitchen",
    "Layer",
    "Learned",
    "Logged",
    "Look",
    "Question",
    "Reading",
    "Strip",
    "VesselForecast",
    "forecast_place",
    "forecast_vessel",
    "forecast_with_past",
    "kitchen",
    "learn_place",
    "share_strength",
]
