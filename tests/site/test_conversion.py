"""What the science rooms get is what the file says."""

import datetime as dt
import math
import tomllib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_reading import HOME

from sourloam.evidence import book
from sourloam.site import Site, loads, spans_within
from sourloam.site.sections import Closed

YEAR = (dt.date(2026, 1, 1), dt.date(2026, 12, 31))


def home(old="", new=""):
    assert old in HOME
    return loads(HOME.replace(old, new, 1) if old else HOME)


def test_a_vessel_known_by_its_measures_has_the_volume_of_a_truncated_cone():
    measures = 'top_diameter = "30 cm"\nbase_diameter = "26 cm"\nheight = "37 cm"'
    (vessel,) = home('volume = "19 L"', measures).to_vessels()
    assert vessel.brim_m3 == pytest.approx(
        math.pi * 0.37 / 12 * (0.30**2 + 0.30 * 0.26 + 0.26**2), rel=1e-12
    )


def test_a_five_gallon_pail_holds_what_its_printed_measures_say():
    """Printed measures 302.5 and 262.4 mm outside, wall 1.9 mm, height 366 mm inside: 22.4 L to
    the brim, 16.9 L between grid and headroom, section 0.061 m2; our defaults within 5 %."""
    (vessel,) = home('"19 L"', '"5 US gal"').to_vessels()
    assert vessel.brim_m3 == pytest.approx(22.4e-3, rel=0.05)
    assert vessel.usable_m3 == pytest.approx(16.9e-3, rel=0.05)
    assert vessel.section_m2 == pytest.approx(0.061, rel=0.05)


def test_what_the_file_says_of_a_vessel_beats_the_defaults():
    said = 'volume = "19 L"\ngrid_height = "3 cm"\nheadroom = "1 in"\nplate = "2 kg"'
    (vessel,) = home('volume = "19 L"', said).to_vessels()
    assert vessel.sump_height_m == pytest.approx(0.03)
    assert vessel.headroom_m == pytest.approx(0.0254)
    assert vessel.plate_mass_kg == 2


def test_vessels_keep_the_order_of_the_file():
    more = '[[vessel]]\nname = "a big one"\nvolume = "60 L"\n[ground]'
    assert [v.name for v in home("[ground]", more).to_vessels()] == ["pail", "a big one"]


def climate(lines):
    return home('record = "mild-oceanic"', lines).to_climate()


def test_monthly_means_in_fahrenheit_are_the_same_climate():
    warm, cold = 41.0, 5.0
    f = climate(f'monthly_means = {[warm] * 12}\nunit = "°F"')
    c = climate(f'monthly_means = {[cold] * 12}\nunit = "°C"')
    assert f.mean_c == pytest.approx(c.mean_c, abs=1e-9)
    assert c.mean_c == pytest.approx(np.full(365, 5.0), abs=1e-6)


def test_swing_is_from_the_mean_to_the_warmest_day_which_is_where_it_is_said():
    year = climate('mean = "14 °C"\nswing = "6 °C"\nwarmest = "01-20"').mean_c
    assert year.max() - year.min() == pytest.approx(12, rel=1e-3)
    assert int(year.argmax()) == 19


def test_a_swing_in_fahrenheit_is_a_difference():
    year = climate('mean = "50 °F"\nswing = "9 °F"\nwarmest = "07-20"').mean_c
    assert year.max() - year.min() == pytest.approx(10, rel=1e-3)
    assert year.mean() == pytest.approx(10, abs=0.05)


def test_the_packaged_record_is_daily_and_several_years_long():
    assert len(home().to_climate()) >= 3 * 365


def test_a_winter_temperature_reaches_the_room():
    room = home('"20 °C"', '"68 °F"\nwinter_temperature = "60.8 °F"').to_room()
    assert (room.kind, room.stated_c, room.winter_c) == ("indoors", pytest.approx(20), 16)


def test_people_carry_their_capture():
    (supply,) = home("people = 3", "people = 3\ncapture = 0.6").to_streams(*YEAR)
    assert (supply.stream.people, supply.stream.capture) == (3, 0.6)
    assert (supply.mix, supply.pieces) == ("household", "chopped")


def test_several_households_share_the_people():
    (supply,) = home("people = 3", "people = 22\nhouseholds = 9").to_streams(*YEAR)
    assert (supply.stream.people, supply.stream.households) == (22, 9)


def test_a_household_throws_away_more_at_the_weekend_and_its_week_keeps_the_mean():
    (supply,) = home().to_streams(*YEAR)
    factors = supply.calendar.weekday_factors
    assert np.mean(factors) == pytest.approx(1)
    assert factors[6] == book()["waste.weekend_factor"].value


MEALS = 'from = "meals"\nmeals = "school_lunch"\nper_day = 120'


def test_a_school_serves_on_five_days():
    (supply,) = home('from = "people"\npeople = 3', MEALS).to_streams(*YEAR)
    assert supply.calendar.weekday_factors == (1, 1, 1, 1, 1, 0, 0)
    assert supply.stream.kind == "school_lunch"


def test_a_school_that_cooks_has_trimmings_in_its_mix():
    cooking = MEALS + "\ncooked_on_site = true"
    (supply,) = home('from = "people"\npeople = 3', cooking).to_streams(*YEAR)
    assert supply.stream.kind == "school_lunch_cooked_on_site"
    assert supply.mix == "school_lunch"


def test_a_week_that_is_written_down_beats_the_usual_one():
    text = HOME + "\n[week]\nmon = 0\nsat = 1.5\n[months]\njan = 0.5\n"
    (supply,) = loads(text).to_streams(*YEAR)
    assert supply.calendar.weekday_factors == (0, 1, 1, 1, 1, 1.5, 1)
    assert supply.calendar.season_factors == (0.5, *(1,) * 11)


def test_weighed_scraps_keep_their_mean():
    weighed = 'from = "measured"\namount = "4.9 lb/week"\nspread = 0.1'
    (supply,) = home('from = "people"\npeople = 3', weighed).to_streams(*YEAR)
    assert supply.stream.kg_per_day == pytest.approx(4.9 * 0.45359237 / 7)
    assert supply.stream.spread == 0.1


def test_shares_of_a_mix_add_up_to_exactly_one():
    thirds = "people = 3\nmix = {bread = 0.333, fruit_veg = 0.333, paper = 0.333}"
    (supply,) = home("people = 3", thirds).to_streams(*YEAR)
    assert sum(supply.mix.values()) == pytest.approx(1, rel=1e-15)


def test_no_scraps_come_while_closed():
    (supply,) = home().to_streams(*YEAR)
    days = np.arange("2026-07-19", "2026-08-06", dtype="datetime64[D]")
    closed = supply.calendar.factors(days) == 0
    assert closed.tolist() == [False] + [True] * 15 + [False] * 2


def span(start, end):
    return Closed.model_validate({"from": start, "to": end})


def test_a_yearly_holiday_over_new_year_comes_every_winter():
    found = list(spans_within(span("12-21", "01-06"), dt.date(2026, 1, 2), dt.date(2027, 12, 31)))
    assert found == [
        (dt.date(2025, 12, 21), dt.date(2026, 1, 6)),
        (dt.date(2026, 12, 21), dt.date(2027, 1, 6)),
        (dt.date(2027, 12, 21), dt.date(2028, 1, 6)),
    ]


def test_a_holiday_of_one_year_does_not_come_back():
    once = span(dt.date(2026, 7, 1), dt.date(2026, 7, 9))
    assert list(spans_within(once, dt.date(2027, 1, 1), dt.date(2028, 1, 1))) == []
    assert len(list(spans_within(once, dt.date(2026, 7, 9), dt.date(2028, 1, 1)))) == 1


def test_the_29th_of_february_is_the_28th_in_a_common_year():
    found = list(spans_within(span("02-29", "03-01"), dt.date(2027, 1, 1), dt.date(2028, 12, 31)))
    assert [first.isoformat() for first, _ in found] == ["2027-02-28", "2028-02-29"]


DATES = st.dates(dt.date(1971, 1, 1), dt.date(2149, 12, 31))


@settings(derandomize=True, max_examples=200)
@given(DATES, DATES, DATES, st.integers(0, 1200))
def test_a_yearly_span_covers_a_day_when_its_month_and_day_lie_inside(a, b, first, length):
    start, end = (f"{d.month:02d}-{d.day:02d}" for d in (a, b))
    if "02-29" in (start, end):
        return
    last = min(first + dt.timedelta(days=length), dt.date(2150, 6, 1))
    spans = list(spans_within(span(start, end), first, last))
    day = first + (last - first) / 2
    now = f"{day.month:02d}-{day.day:02d}"
    inside = start <= now <= end if start <= end else now >= start or now <= end
    assert any(s <= day <= e for s, e in spans) == inside


def test_a_site_cannot_be_changed_after_reading():
    site = home()
    with pytest.raises(ValueError, match="frozen"):
        site.place.risk = 0.5


def test_the_model_takes_the_tables_of_a_file():
    assert Site.model_validate(tomllib.loads(HOME)) == loads(HOME)
