"""What a person's own record may look like, and what is said when it cannot be used."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.climate import (
    ClimateError,
    Daily,
    monthly_means_c,
    packaged,
    packaged_record,
    read_csv,
)

GOOD = "date,tmin_c,tmax_c\n2020-02-28,1,5\n2020-02-29,2,6\n2020-03-01,3,8\n"


def test_a_day_lies_midway_between_its_lowest_and_highest():
    daily = read_csv(GOOD)
    assert daily.mean_c == pytest.approx([3, 4, 5.5], rel=1e-12)
    assert daily.dates.astype(str).tolist() == ["2020-02-28", "2020-02-29", "2020-03-01"]
    assert daily.notes == ()


@pytest.mark.parametrize(
    "text",
    [
        GOOD.replace(",", ";"),
        GOOD.replace(",", "\t"),
        "\ufeff" + GOOD,
        GOOD.replace("\n", "\r\n"),
        "# my garden\n\n" + GOOD,
        GOOD.replace("date", " Date ").replace("tmin_c", '"TMIN_C"'),
        GOOD.replace(",", ";").replace("5", "5,0"),
    ],
)
def test_common_ways_to_write_a_table_read_alike(text):
    assert read_csv(text).mean_c == pytest.approx([3, 4, 5.5], rel=1e-12)


def test_further_columns_in_any_order_are_left_aside():
    text = "rain,tmax_c,date,tmin_c\n3,5,2020-01-01,1\n4,6,2020-01-02,2\n"
    assert read_csv(text).tmax_c.tolist() == [5, 6]


def test_fahrenheit_is_turned_into_celsius():
    daily = read_csv("date,tmin_f,tmax_f\n2020-01-01,32,50\n")
    assert (daily.tmin_c[0], daily.tmax_c[0]) == pytest.approx((0, 10), abs=1e-12)


def test_five_missing_days_are_filled_on_a_line_and_said():
    daily = read_csv("date,tmin_c,tmax_c\n2020-01-01,0,6\n2020-01-07,6,12\n")
    assert daily.tmin_c == pytest.approx(range(7), rel=1e-12)
    assert daily.notes == ("temperatures: 5 missing days filled from neighbours",)


def test_an_empty_cell_is_a_missing_day():
    daily = read_csv("date,tmin_c,tmax_c\n2020-01-01,0,6\n2020-01-02,,7\n2020-01-03,2,8\n")
    assert daily.tmin_c.tolist() == [0, 1, 2]
    assert daily.notes == ("temperatures: 1 missing day filled from neighbours",)


HEAD = "date,tmin_c,tmax_c\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty"),
        ("  \n\n", "is empty"),
        (HEAD, "holds no day"),
        ("day,low,high\n2020-01-01,1,2\n", "head line 'day,low,high'"),
        ("date,tmin_c,tmin_c,tmax_c\n2020-01-01,1,2,3\n", "each once"),
        (HEAD + "2020-01-02,1,2\n2020-01-01,1,2\n", "line 3: 2020-01-01 comes after 2020-01-02"),
        (HEAD + "2020-01-01,1,2\n2020-01-01,1,2\n", "line 3: 2020-01-01 stands twice"),
        (HEAD + "2020-01-01,1,2\n2020-01-08,1,2\n", "6 days missing after 2020-01-01"),
        (HEAD + "2020-01-01,9,2\n", "line 2: the lowest temperature is above"),
        (HEAD + "2020-01-01,warm,2\n", "line 2: 'warm' is no temperature"),
        (HEAD + "2020-01-01,nan,2\n", "line 2: 'nan' is no temperature"),
        (HEAD + "2020-01-01,1_0,20\n", "line 2: '1_0' is no temperature"),
        (HEAD + "2020-01-01,1,71\n", "line 2: 1 to 71 °C is no air temperature"),
        (HEAD + "2020-01-01,-101,1\n", "line 2: -101 to 1 °C is no air temperature"),
        (HEAD + "01/02/2020,1,2\n", "line 2: '01/02/2020' is no date; give YYYY-MM-DD"),
        (HEAD + "2021-02-29,1,2\n", "line 2: '2021-02-29' is no date"),
        (HEAD + "2020-01-01,1\n", "line 2: 2 columns"),
        (HEAD + "2020-01-01,,\n", "no day has both temperatures"),
        ("date\0", "is not UTF-8 text"),
        ("caf\ufffd", "is not UTF-8 text"),
        ("x" * 20_000_001, "larger than 20 MB"),
        (HEAD + "\n" * 150_001, "more than 150000 lines"),
    ],
)
def test_a_record_that_cannot_be_used_is_refused_in_one_clear_line(text, said):
    with pytest.raises(ClimateError) as found:
        read_csv(text, "garden.csv")
    message = str(found.value)
    assert message.startswith("garden.csv: ")
    assert said in message
    assert "\n" not in message
    assert len(message) < 200


def test_the_line_named_counts_comments_and_blank_lines():
    with pytest.raises(ClimateError, match="line 5: 'x'"):
        read_csv("# note\n" + HEAD + "\n2020-01-01,1,2\n2020-01-02,x,3\n")


ALMOST = st.lists(
    st.sampled_from(
        ["date", "tmin_c", "tmax_c", ",", ";", "\n", "2020-01-01", "2020-01-02", "1", "-", "é", '"']
    ),
    max_size=40,
).map("".join)


@settings(derandomize=True, max_examples=300, deadline=None)
@given(st.one_of(st.text(max_size=200), ALMOST, ALMOST.map(lambda s: HEAD + s)))
def test_no_text_at_all_brings_anything_but_a_record_or_one_line(text):
    def outcome():
        try:
            return read_csv(text).mean_c
        except ClimateError as error:
            return str(error).splitlines()

    found = outcome()
    assert np.isfinite(found).all() if isinstance(found, np.ndarray) else len(found) == 1


def test_a_daily_refuses_arrays_that_do_not_fit():
    start, one, two = np.datetime64("2020-01-01"), np.zeros(1), np.zeros(2)
    with pytest.raises(ClimateError, match="for each day"):
        Daily(start, one, two)
    with pytest.raises(ClimateError, match="no day"):
        Daily(start, one[:0], one[:0])
    with pytest.raises(ClimateError, match="finite"):
        Daily(start, one * np.nan, one)
    with pytest.raises(ClimateError, match="2020-01-01: the lowest"):
        Daily(start, one + 1, one)


def test_the_packaged_record_holds_four_whole_years_of_a_mild_place():
    """Figures seen in the file itself: 1,461 days, mean 12.3, from -7.1 to 35.6 °C."""
    daily = packaged_record("mild-oceanic")
    assert len(daily) == 1461
    assert str(daily.start) == "2012-01-01"
    assert daily.mean_c.mean() == pytest.approx(12.3, abs=0.05)
    assert (daily.tmin_c.min(), daily.tmax_c.max()) == (-7.1, 35.6)


def test_an_unknown_packaged_record_names_the_right_ones():
    with pytest.raises(ClimateError, match="right would be mild-oceanic"):
        packaged_record("mild")


def test_monthly_means_want_every_month():
    with pytest.raises(ClimateError, match="no day of month 1 "):
        monthly_means_c(read_csv(GOOD))


def test_a_day_that_is_missing_from_the_packaged_file_is_told(monkeypatch):
    days = ("2012-01-01", "2012-01-02", "2012-01-04")
    rows = tuple({"date": day, "temp_min": "1", "temp_max": "2"} for day in days)
    monkeypatch.setattr(packaged, "_rows", lambda name: rows)
    with pytest.raises(ClimateError, match="days are missing"):
        packaged.packaged_record.__wrapped__("with a gap")
