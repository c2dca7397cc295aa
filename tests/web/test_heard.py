"""What a drawing tells to who hears it."""

from sourloam import drawing
from sourloam.web import heard


def band(**more):
    days = (0.0, 1.0, 2.0, 3.0, 4.0)
    rows = ((5.0, 4.0, 4.0, 3.9, 3.8), (5.5, 4.5, 4.4, 4.2, 4.0), (6.0, 5.0, 4.8, 4.5, 4.2))
    return drawing.BandPicture(days, *rows, (), (), "pH", **more)


def test_a_band_tells_its_value_today_half_way_and_at_its_end_with_the_range():
    told = heard.band(band(today=(2.0, "today")), heard.nth_day, heard.ph)
    assert told.desc == "day 2: 4.4 (4 – 4.8); day 3: 4.2 (3.9 – 4.5); day 4: 4 (3.8 – 4.2)."
    assert told.title == "pH"


def test_a_band_tells_what_its_line_means_and_keeps_what_it_told_before():
    told = heard.band(band(limit=(4.6, "below this: sour"), desc="Runs"), heard.nth_day, heard.ph)
    assert told.desc.startswith("Runs. day 0: 5.5 (5 – 6); day 2")
    assert told.desc.endswith("day 4: 4 (3.8 – 4.2). below this: sour.")


def test_a_strip_tells_how_the_vessel_stands_and_what_comes_next():
    def said(*spans, today=5.0):
        return heard.strip(drawing.Strip("Tin", spans), today, 20.0, "day {:.0f}".format)

    filling, resting = (0.0, 8.0, "filling"), (8.0, 20.0, "resting")
    assert said(filling, resting) == "Tin: filling until day 8, then resting"
    assert said(filling) == "Tin: filling until day 8"
    assert said(filling, resting, today=9.0) == "Tin: resting"
    assert said(resting) == ""
    assert said((0.0, 4.0, "filling")) == ""
