"""Figures of a programme on paper: all that the page counts, in both languages, on both papers."""

import datetime as dt

import pytest

from sourloam.documents import Printing
from sourloam.documents.figures import Climate, Figure, FiguresPaper, figures_paper
from sourloam.drawing.columns import Column, ColumnsPicture
from sourloam.drawing.ways import WayRow, WaysPicture

DAY = dt.date(2026, 11, 30)
MONTHS = ColumnsPicture(
    (Column("Oct", "2026", 312.0), Column("Nov", "", 402.0)), "kg", "Scraps by month", "312, 402"
)
WAYS = WaysPicture(
    (WayRow("ferment", "fermented", 1.0, 2.0, 3.0, "2 (1 to 3)"),),
    ((0.0, "0"),),
    "kg",
    "Each way",
    "2",
)
CLIMATE = Climate("The climate", "714 kg of scraps", WAYS, ("48 kg saved.",), ("200 worlds.",))


def paper(months=MONTHS, climate=CLIMATE, name="Alder exchange"):
    return FiguresPaper(
        title=f"What {name} has done",
        period="Everything up to today",
        said="714 kg of scraps went into vessels." if months else "",
        months=months,
        most="Most in Nov 2026: 402 kg." if months else "",
        month_rows=(("Oct 2026", "312 kg"), ("Nov 2026", "402 kg")) if months else (),
        figures=(
            Figure("trainings", "7", "59 people came", "Who came twice counts twice."),
            Figure("hours given", "29.7", "", "As written <down> #here."),
        ),
        climate=climate,
    )


def said(pages):
    return " ".join(page.text for page in pages)


@pytest.mark.parametrize(
    ("language", "size", "words"),
    [
        ("en", "a4", ("How each figure is counted", "30 November 2026", "no certificate")),
        ("es", "letter", ("Cómo se cuenta cada cifra", "30 de noviembre de 2026", "certificado")),
    ],
)
def test_every_figure_stands_on_it_with_how_it_is_counted(read_back, language, size, words):
    printing = Printing(language=language, paper=size, day=DAY)
    pages = read_back(figures_paper(paper(), printing))
    text = said(pages)
    for part in (
        *words,
        *("714 kg of scraps went into vessels.", "Most in Nov 2026", "Oct 2026 312 kg"),
        *("59 people came", "Who came twice", "As written <down> #here.", "48 kg saved."),
    ):
        assert part in text
    assert not [word for page in pages for word in page.outside()]
    assert round(pages[0].width) == (612 if size == "letter" else 595)


def test_without_months_or_climate_nothing_is_said_of_them(read_back):
    text = said(read_back(figures_paper(paper(None, None), Printing(day=DAY))))
    assert "trainings" in text
    for part in ("Scraps by month", "climate", "worlds"):
        assert part not in text


def test_a_name_of_eighty_letters_and_twenty_years_of_months_stay_on_the_paper(read_back):
    many = tuple(Column(f"M{n}", "", float(n)) for n in range(240))
    told = paper(
        ColumnsPicture(many, "kg", "Scraps by month", "so much"),
        None,
        ("Neighbours of " * 6)[:80].strip(),
    )
    pages = read_back(figures_paper(told, Printing(day=DAY)))
    assert not [word for page in pages for word in page.outside()]
