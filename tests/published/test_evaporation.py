"""The air's demand for water against Thornthwaite's formula worked step by step.

Source: C. W. Thornthwaite (1948), Geographical Review 38(1):55-94, the formula as open technical
encyclopedias print it. Worked by hand for a year of 12 equal months at 20 °C: i = 4^1.514 = 8.157,
I = 97.88, a = 6.75e-7 I^3 - 7.71e-5 I^2 + 1.792e-2 I + 0.49239 = 2.1407, a month of thirty days of
twelve hours 16 (200 / 97.88)^2.1407 = 73.8 mm.
"""

import numpy as np
import pytest

from sourloam import climate
from sourloam.evidence import book

P = book().central(book().ids("rain"))


def test_a_year_of_twenty_degrees_takes_74_mm_a_month():
    day = climate.evapotranspiration_m(np.full((1, 30), 20.0), np.full(12, 20.0), P)
    assert day.sum() * 1000 == pytest.approx(73.8, rel=0.005)


def test_a_temperate_year_takes_what_the_formula_gives_month_by_month():
    means = np.array([2.0, 3, 6, 10, 14, 17, 19, 18, 15, 11, 6, 3])
    index = ((means / 5) ** 1.514).sum()
    a = 6.75e-7 * index**3 - 7.71e-5 * index**2 + 1.792e-2 * index + 0.49239
    for mean in means:
        month = climate.evapotranspiration_m(np.full((1, 30), mean), means, P).sum() * 1000
        assert month == pytest.approx(16 * (10 * mean / index) ** a, rel=1e-9)


def test_frost_takes_nothing():
    assert not climate.evapotranspiration_m(np.full((1, 3), -4.0), np.full(12, -4.0), P).any()
