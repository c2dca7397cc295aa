"""What the same scraps give off, and what moves an answer: drawn to scale, with words apart."""

import re
import xml.etree.ElementTree as ElementTree

import pytest

from sourloam.drawing.moving import Mover, MoversPicture, draw_movers
from sourloam.drawing.ways import Way, WayRow, WaysPicture, draw_ways

SVG = "{http://www.w3.org/2000/svg}"
TICKS = ((0.0, "0"), (100.0, "100"), (200.0, "200"))
BELOW = "fermentar: menos en más de 98 de 100"
LONG = "well-run compost heap of many boxes"


def ways(name="landfill", figure="150 (100 to 200)"):
    rows = (
        WayRow("ferment", "fermented", 20.0, 30.0, 50.0, "30 (20 to 50)"),
        WayRow(
            "landfill", name, 100.0, 150.0, 200.0, figure, "fermentar: menos en más de 98 de 100"
        ),
    )
    return WaysPicture(rows, TICKS, "kg CO2e", "Given off", "fermented: 30; landfill: 150")


def drawn(svg):
    return ElementTree.fromstring(svg)


def of_class(root, kind):
    return [one for one in root.iter() if kind in one.get("class", "").split()]


def texts(root):
    return {"".join(one.itertext()): one for one in root.iter(f"{SVG}text")}


@pytest.mark.parametrize("wide", [390.0, 460.0])
def test_a_bar_reaches_from_the_low_to_the_high_point_on_the_scale_of_the_ticks(wide):
    root = drawn(draw_ways(ways(), wide))
    said = texts(root)
    zero, hundred = (float(said[word].get("x")) for word in ("0", "100"))
    (own,), (other,) = of_class(root, "d-reach"), of_class(root, "d-reach-other")
    for bar, low, high in ((own, 20, 50), (other, 100, 200)):
        per_kg = (hundred - zero) / 100
        assert float(bar.get("x")) == pytest.approx(zero + low * per_kg, abs=0.2)
        assert float(bar.get("width")) == pytest.approx((high - low) * per_kg, abs=0.2)
    assert float(other.get("x")) + float(other.get("width")) <= wide


@pytest.mark.parametrize(("wide", "beside"), [(460.0, True), (390.0, False)])
def test_a_figure_stands_beside_a_name_only_where_both_have_room(wide, beside):
    name = "landfill with its wells" if beside else LONG
    said = texts(drawn(draw_ways(ways(name), wide)))
    figure = said["150 (100 to 200)"]
    assert name in said  # whole, without an ellipsis
    assert (figure.get("y") == said[name].get("y")) is beside
    assert BELOW in said


@pytest.mark.parametrize("way", Way.__args__)
def test_every_way_has_its_own_drawing(way):
    row = WayRow(way, way, 1.0, 2.0, 3.0, "2")
    svg = draw_ways(WaysPicture((row,), TICKS, "kg", "Given off"))
    others = {
        draw_ways(WaysPicture((WayRow(o, way, 1.0, 2.0, 3.0, "2"),), TICKS, "kg", "Given off"))
        for o in Way.__args__
        if o != way
    }
    assert svg not in others


def test_ways_that_give_off_nothing_are_still_drawn():
    row = WayRow("ferment", "fermented", 0.0, 0.0, 0.0, "0")
    root = drawn(draw_ways(WaysPicture((row,), ((0.0, "0"),), "kg", "Given off")))
    assert not re.search("nan|inf", ElementTree.tostring(root).decode())


def movers(*pairs):
    made = tuple(Mover(f"input {n}", a, b, f"{a:g}", f"{b:g}") for n, (a, b) in enumerate(pairs))
    return MoversPicture(made, 240.0, "the middle: 240 kg", "What moves it")


def test_ring_and_dot_lie_at_the_low_and_the_high_point_whichever_is_left():
    root = drawn(draw_movers(movers((330.0, 170.0), (200.0, 290.0))))
    rings, dots = (of_class(root, kind) for kind in ("d-ring", "d-dot"))
    first = [float(one.get("cx")) for one in (rings[0], dots[0])]
    second = [float(one.get("cx")) for one in (rings[1], dots[1])]
    assert first[0] > first[1]
    assert second[0] < second[1]
    per_kg = (first[0] - first[1]) / 160
    assert second[1] - second[0] == pytest.approx(90 * per_kg, abs=0.3)


@pytest.mark.parametrize("wide", [390.0, 460.0])
def test_words_of_what_moves_it_stay_inside_and_left_of_right(wide):
    root = drawn(draw_movers(movers((-1200.0, 990.0), (200.0, 290.0)), wide))
    said = texts(root)
    assert float(said["-1200"].get("x")) < float(said["990"].get("x")) < wide
    assert float(said["the middle: 240 kg"].get("x")) < wide


def test_inputs_that_move_nothing_are_still_drawn():
    root = drawn(draw_movers(movers((240.0, 240.0))))
    assert len(of_class(root, "d-ring")) == 1
