"""Fermenting is compared with burning as if its own failures were burnt too."""

import numpy as np

from sourloam.impact.reckoning import Reckoned
from sourloam.impact.route import Route, Weights, at_once

WEIGHTS = Weights("ar6", 100, 27.0, 273.0)


def way(id_, kg):
    nothing = np.zeros(1)
    gas = at_once("gas", "co2e", np.array([kg]), "impact.drive")
    return Route(id_, id_, (gas,), {}, {}, {}, nothing, np.zeros((1, 3)), nothing)


def test_only_against_the_incinerator_are_failures_of_the_vessel_burnt():
    landfill, incinerator = way("landfill", 50.0), way("incinerator", 20.0)
    own, burnt = way("ferment", 10.0), way("ferment", 4.0)
    found = Reckoned(own, burnt, (landfill, incinerator), WEIGHTS, np.array([100.0]))
    assert found.fair(landfill) is own
    assert found.fair(incinerator) is burnt
    assert found.saved_kg(landfill) == [40.0]
    assert found.saved_kg(incinerator) == [16.0]
