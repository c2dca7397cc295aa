"""Spreadsheets of weighings, as people have them."""

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.exchange import Choice, ExchangeError, read_sheet, weighings
from sourloam.ledger import fold
from strategies.ledger_entries import PLACE, SPEC, entry

TODAY = dt.date(2026, 7, 1)
ZONE = ZoneInfo("Europe/Madrid")


def place(*more):
    return fold(
        [
            entry(1, "vessel_added", {"vessel": "pail-1", "name": "Blue pail", "spec": SPEC}),
            entry(2, "measure_set", {"measure": "bowl", "name": "Bowl", "mass_kg": 0.6}),
            *more,
        ]
    )


def read(text, choice=None, state=None, encoding="utf-8"):
    sheet = read_sheet(text.encode(encoding))
    return weighings(sheet, PLACE, state or place(), ZONE, TODAY, choice)


def masses(found):
    return [e.body.amount.mass_kg for e in found.good]


def test_a_plain_sheet_comes_in():
    found = read(
        "Date,Vessel,kg,Bran (g),Note\n2026-03-01,Blue pail,1.25,20,wet\n2026-03-02,pail-1,.5,,\n"
    )
    assert [str(row.problem.english) for row in found.bad] == [
        "“.5” is no amount; write a number above 0"
    ]
    (layer,) = found.good
    assert (layer.body.amount.mass_kg, layer.body.bran_g, layer.body.note) == (1.25, 20, "wet")
    assert layer.at.isoformat() == "2026-03-01T11:00:00+00:00"


def test_a_spanish_sheet_with_semicolons_and_decimal_commas_comes_in():
    text = "Fecha;Recipiente;Peso (kg)\n13/03/2026;blue pail;1,25\n14/03/2026;Blue Pail;0,7\n"
    found = read(text, encoding="cp1252")
    assert masses(found) == [1.25, 0.7]
    assert [e.at.astimezone(ZONE).day for e in found.good] == [13, 14]


def test_pounds_ounces_and_units_in_the_cells_are_read():
    found = read(
        "day\tbin\tweight\n2026-03-01\tpail-1\t2 lb\n2026-03-01\tpail-1\t8 oz\n"
        "2026-03-02\tpail-1\t900 g\n"
    )
    assert masses(found) == pytest.approx([0.907185, 0.226796, 0.9], abs=1e-6)


def test_bowls_are_counted_in_the_only_measure():
    (layer,) = read("date,vessel,bowls\n2026-03-01,pail-1,2\n").good
    assert (layer.body.amount.measure, layer.body.amount.count) == ("bowl", 2)


@pytest.mark.parametrize(("day_first", "month"), [(True, 4), (False, 3)])
def test_which_of_two_numbers_is_the_day_is_asked_where_no_date_tells(day_first, month):
    text = "date,vessel,kg\n03/04/2026,pail-1,1\n"
    assert read(text).asks == ("day_first",)
    assert read(text).good == ()
    (layer,) = read(text, Choice(day_first=day_first)).good
    assert layer.at.month == month


@pytest.mark.parametrize("second", ["25/04/2026", "03.04.2026"])
def test_one_telling_date_spares_the_question(second):
    found = read(f"date,vessel,kg\n03/04/2026,pail-1,1\n{second},pail-1,1\n")
    assert found.asks == ()
    assert found.good[0].at.month == 4


def test_an_amount_that_may_be_thousands_is_asked():
    text = 'date,vessel,kg\n2026-03-01,pail-1,"1,500"\n'
    assert read(text).asks == ("comma",)
    assert masses(read(text, Choice(comma=True))) == [1.5]


def test_a_sheet_without_a_unit_or_a_vessel_is_asked_for_them():
    text = "date,weight\n2026-03-01,2\n"
    assert set(read(text).asks) == {"unit", "vessel"}
    assert masses(read(text, Choice(unit="kg", vessel="pail-1"))) == [2]


def test_every_bad_row_is_told_with_its_line_and_the_good_ones_stand():
    found = read(
        "date,vessel,kg\n2026-13-01,pail-1,1\n2026-03-01,Red bin,1\n2026-03-01,pail-1,nil\n"
        "2027-03-01,pail-1,1\n2026-03-01,pail-1,9000\n2026-03-01,pail-1,1\n"
    )
    assert [row.number for row in found.bad] == [2, 3, 4, 5, 6]
    said = [row.problem.english for row in found.bad]
    assert "no date" in said[0]
    assert "no vessel of that name" in said[1]
    assert "no amount" in said[2]
    assert "lies ahead" in said[3]
    assert "must lie between" in said[4]
    assert masses(found) == [1]


def test_the_same_sheet_makes_the_same_entries_and_equal_lines_stay_two():
    text = "date,vessel,kg\n2026-03-01,pail-1,1\n2026-03-01,pail-1,1\n"
    first, again = read(text).good, read(text).good
    assert first == again
    assert len({e.id for e in first}) == 2


def test_a_kind_that_is_a_mix_is_one_and_another_word_is_a_note():
    found = read(
        "date,vessel,kg,type\n2026-03-01,pail-1,1,Plate waste\n2026-03-02,pail-1,1,peels\n"
    )
    assert found.good[0].body.kinds == "plate_waste"
    assert found.good[1].body.note == "peels"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "one line of headings"),
        ("date,kg\n", "one line of headings"),
        ("a,b\n1,2\n", "no column for the date"),
        ("date,b\n1,2\n", "no column for the amount"),
        ("date,kg\n" + "x" * 3000 + ",1\n", "a cell too long"),
        ("date,kg\n" + "2026-03-01,1\n" * 20_001, "more than 20000 lines"),
        ("\0\0,kg\n", "save the sheet as CSV"),
    ],
)
def test_what_is_no_sheet_is_refused_in_one_line(text, why):
    with pytest.raises(ExchangeError, match=why) as caught:
        read_sheet(text.encode())
    assert "\n" not in str(caught.value)


@settings(derandomize=True, max_examples=150, deadline=None)
@given(
    st.binary(max_size=300) | st.text(max_size=200).map(lambda t: f"date,kg,vessel\n{t}".encode())
)
def test_nonsense_is_told_and_never_a_crash(data):
    refusal, sheet = "", None
    try:
        sheet = read_sheet(data)
    except ExchangeError as error:
        refusal = str(error)
    assert "\n" not in refusal
    assert bool(refusal) == (sheet is None)
    if sheet is not None:
        choice = Choice(True, True, "kg", "pail-1")
        found = weighings(sheet, PLACE, place(), ZONE, TODAY, choice)
        assert all((row.entry is None) != (row.problem is None) for row in found.rows)
