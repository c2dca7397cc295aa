"""No text is in the way of a month; the page's style is the drawings' own. That both languages
are complete is held by ``make lint``."""

import datetime as dt
from pathlib import Path

from sourloam import drawing
from sourloam.web import wording

ROOT = Path(__file__).parents[2]
STATIC = ROOT / "src" / "sourloam" / "web" / "static" / "sourloam"


def test_no_text_of_ours_stands_in_the_way_of_a_month_or_a_day_of_the_week():
    """One list serves the pages and the calendar words: "May" as a verb would name the month."""
    from django.utils import dates, translation

    words = [*dates.MONTHS.values(), *dates.MONTHS_3.values(), *dates.WEEKDAYS.values()]
    with translation.override("en"):
        english = {str(word) for word in words}
    listed = (ROOT / "src/sourloam/web/locale/es/LC_MESSAGES/django.po").read_text("utf-8")
    assert [word for word in english if f'\nmsgid "{word}"\n' in listed] == []
    with translation.override("es"):
        assert wording.day(dt.date(dt.date.today().year, 5, 18)).startswith("18 de mayo")
        assert wording.short_day(dt.date(2026, 8, 2)) == "2 ago"


def test_the_pages_take_their_colours_from_the_drawings():
    style = (STATIC / "drawing.css").read_text(encoding="utf-8")
    assert style.split("\n", 1)[1] == drawing.stylesheet()


def test_nothing_in_style_or_script_leads_outside():
    written = [path for path in STATIC.iterdir() if path.suffix != ".png"]
    assert len(written) > 10
    for path in written:
        text = path.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert "http:" not in text, path.name
        assert "https:" not in text, path.name
