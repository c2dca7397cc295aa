"""The map of a round and the row of full vessels: safe text, alike without colour."""

import math
import re
import xml.etree.ElementTree as ElementTree
from itertools import combinations

from sourloam.drawing import FullDay, FullPicture, MapStop, RoundPicture, draw_full, draw_round

SVG = "{http://www.w3.org/2000/svg}"
FULL_AND_MAYBE = ("d-s-resting", "d-s-dirty")


def test_stops_are_numbered_in_their_order_and_lie_where_they_are():
    stops = (MapStop(0, 2), MapStop(2, 0, pressing=True), MapStop(-1, -1, trip=2))
    root = ElementTree.fromstring(draw_round(RoundPicture(stops, "Yard <1>", title="Round")))
    numbers = [t for t in root.iter(f"{SVG}text") if t.text.isdigit()]
    assert [t.text for t in numbers] == ["1", "2", "3"]
    north, east, south = ((float(t.get("x")), float(t.get("y"))) for t in numbers)
    assert north[1] < east[1] < south[1]
    assert south[0] < north[0] < east[0]
    assert len(list(root.iter(f"{SVG}path"))) >= 3


def test_a_pressing_stop_differs_without_colour():
    plain, pressing = (
        draw_round(RoundPicture((MapStop(1, 1, pressing=p),), "Yard")) for p in (False, True)
    )
    assert pressing.count("<circle") == plain.count("<circle") + 2


def test_numbers_that_would_cover_each_other_stand_apart_and_show_where_they_are():
    near = (*(MapStop(1 + 0.01 * i, 1, trip=1 + i % 2) for i in range(4)), MapStop(0.01, 0))
    root = ElementTree.fromstring(draw_round(RoundPicture((*near, MapStop(-4, -3)), "Yard")))
    at = [
        (float(t.get("x")), float(t.get("y")))
        for t in root.iter(f"{SVG}text")
        if t.text in "123456"
    ]
    assert len(at) == 6
    assert min(math.dist(a, b) for a, b in combinations(at, 2)) > 22
    dots = [c for c in root.iter(f"{SVG}circle") if c.get("class") == "d-dot"]
    assert dots, "a number that was moved leaves a dot where its place is"


def test_the_hubs_name_keeps_off_the_stops():
    stop = MapStop(0.4, 0.0)
    drawn = draw_round(RoundPicture((stop, MapStop(-3, 2), MapStop(3, -2)), "Yard"))
    anchor = re.search(r'<text x="[\d.]+" y="[\d.]+" class="d-place" text-anchor="(\w+)">', drawn)
    assert anchor[1] != "start"


def test_a_hub_amid_its_stops_has_its_name_in_the_corner_and_over_none_of_them():
    ring = tuple(MapStop(math.cos(i), math.sin(i)) for i in range(6))
    wide = (MapStop(9, 4), MapStop(-9, -4))
    root = ElementTree.fromstring(draw_round(RoundPicture((*ring, *wide), "Yard behind the mill")))
    (name,) = (t for t in root.iter(f"{SVG}text") if t.text == "Yard behind the mill")
    assert name.get("text-anchor") == "end"
    numbers = [float(t.get("y")) for t in root.iter(f"{SVG}text") if t.text.isdigit()]
    assert float(name.get("y")) > max(numbers) + 15


def test_full_vessels_are_counted_in_vessels_that_are_all_alike():
    days = (FullDay("today", 2, 2, 2), FullDay("3 Dec", 4, 6, 8))
    drawn = draw_full(FullPicture(days, "Full vessels"))
    kinds = [re.findall(rf'd="M[^l]*(l[^"]*)" class="{c}"', drawn) for c in FULL_AND_MAYBE]
    assert [len(found) for found in kinds] == [8, 2]
    assert len({shape for found in kinds for shape in found}) == 1
    assert "4 – 8" in drawn
    ElementTree.fromstring(draw_full(FullPicture((FullDay("today", 0, 0, 0),), "None")))


def test_many_full_vessels_are_drawn_by_the_dozen_or_so_and_the_picture_stays_low():
    many = FullPicture((FullDay("today", 180, 200, 240),), "Full vessels")
    assert many.each == 10
    root = ElementTree.fromstring(draw_full(many))
    assert float(root.get("height")) < 300
    assert draw_full(many).count('class="d-s-resting"') == 20
