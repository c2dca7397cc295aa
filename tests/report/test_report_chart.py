"""The plan as a picture, and the picture as a file that asks nothing from outside."""

import json
import re
import struct
from html.parser import HTMLParser
from itertools import pairwise

import altair as alt
import pytest
from invented import SEASONS, invented_plan, rng, site

from sourloam.report.chart import plan_chart
from sourloam.report.palette import (
    BEET,
    INK,
    MUTED,
    PAPER,
    SLATE,
    STATE_COLOURS,
    STATE_WORDS,
    STRAW,
)
from sourloam.report.saving import save_chart

HOSTILE = "</script><script>alert(1)</script><b>&\x00\x1b"
NAMESPACES = {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}


@pytest.fixture(scope="module")
def chart():
    return plan_chart(invented_plan(), "metric")


@pytest.fixture(scope="module")
def saved(chart, tmp_path_factory):
    folder = tmp_path_factory.mktemp("chart")
    for ending in ("svg", "png"):
        save_chart(chart, folder / f"plan.{ending}")
    hostile = invented_plan(site=site().model_copy(update={"name": HOSTILE}))
    save_chart(plan_chart(hostile), folder / "plan.html")
    return folder


@pytest.fixture(scope="module")
def svg(saved):
    return (saved / "plan.svg").read_text("utf-8")


class Tags(HTMLParser):
    def __init__(self):
        super().__init__()
        self.found = []

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))


def tags(page):
    parser = Tags()
    parser.feed(page)
    return parser.found


def test_the_picture_names_every_vessel_season_and_state(svg):
    words = re.sub(r"<[^>]+>", "\n", svg)
    plan = invented_plan()
    for name in {span.vessel for span in plan.vessels.year}:
        assert name in words
    for season in SEASONS:
        assert f"\n{season}\n" in words
    for state in {span.state for span in plan.vessels.year} & set(STATE_WORDS):
        assert STATE_WORDS[state].replace("'", "&#39;") in words or STATE_WORDS[state] in words
    for said in ("3 in 100", "you accept 5 in 100", "usual advice", "Three vessels are enough"):
        assert said in words
    for driver in plan.drivers:
        assert driver.name in words


def test_each_span_of_a_vessel_is_one_bar_with_its_dates(svg):
    bars = [s for s in invented_plan().vessels.year if s.state != "empty"]
    for span in bars:
        start = f"{span.start.day} {span.start:%b} to"
        assert f"{span.vessel}: {span.state}, {start}" in svg


def test_svg_refers_to_nothing_but_namespaces(svg):
    assert set(re.findall(r"https?://[^\"'\s<>)]+", svg)) <= NAMESPACES
    assert "<script" not in svg


def test_png_is_twice_as_wide_as_the_svg_and_about_900(saved, svg):
    head = (saved / "plan.png").read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"
    width = struct.unpack(">I", head[16:20])[0]
    svg_width = float(re.search(r'<svg[^>]* width="([\d.]+)"', svg)[1])
    assert 860 <= svg_width <= 960
    assert width == pytest.approx(2 * svg_width, abs=2)


def test_html_asks_no_outside_address(saved):
    page = (saved / "plan.html").read_text("utf-8")
    found = tags(page)
    assert [tag for tag, _ in found].count("script") == 2
    assert not {tag for tag, _ in found} & {"link", "iframe", "img", "object", "embed", "base"}
    for tag, attributes in found:
        for name, value in attributes.items():
            if name in ("src", "href", "xlink:href", "action", "srcset", "data"):
                assert not re.match(r"\s*(https?:)?//", value or ""), (tag, name, value)
    policy = next(a["content"] for t, a in found if a.get("http-equiv"))
    assert "default-src 'none'" in policy
    assert "connect" not in policy
    assert not re.search(r"url\(\s*['\"]?(https?:)?//|@import", page)


def test_the_description_of_the_picture_is_sound_and_names_no_address(chart):
    spec = chart.to_dict()
    spec.pop("$schema")
    text = json.dumps(spec)
    assert "http" not in text
    assert '"url"' not in text


def test_html_shows_the_picture_even_without_its_program(saved):
    page = (saved / "plan.html").read_text("utf-8")
    before_program = page.partition("<script")[0]
    assert "<svg" in before_program
    assert "Three vessels are enough" in before_program


def test_a_name_cannot_break_out_of_the_page(saved):
    page = (saved / "plan.html").read_text("utf-8")
    assert page.count("</script") == 2
    assert not [tag for tag, _ in tags(page) if tag == "b"]
    assert "alert(1)" in page
    assert "\x00" not in page
    assert "\x1b" not in page.partition('id="spec"')[0]


def test_the_same_plan_gives_the_same_picture(svg, tmp_path):
    save_chart(plan_chart(invented_plan()), tmp_path / "again.svg")
    assert (tmp_path / "again.svg").read_text("utf-8") == svg


@pytest.fixture(scope="module")
def odd(tmp_path_factory):
    """In US units, of a winter in which nothing ever turns sour."""
    never = rng(None, None, None, "days")
    plan = invented_plan()
    seasons = tuple(
        s.model_copy(update={"days": never if s.season == "winter" else s.days})
        for s in plan.finish.by_season
    )
    plan = plan.model_copy(update={"finish": plan.finish.model_copy(update={"by_season": seasons})})
    file = tmp_path_factory.mktemp("odd") / "never.svg"
    save_chart(plan_chart(plan, "us"), file)
    return file.read_text("utf-8")


def test_us_readers_get_pounds_in_the_picture(odd):
    words = re.sub(r"<[^>]+>", "\n", odd)
    assert "\n5 lb\n" in words
    assert "US fl oz per lb" in words
    assert not re.search(r"\d (kg|L|mL)\b", words)


def test_what_never_happens_leaves_no_sign_of_the_machine(odd):
    assert "beyond the time foreseen" in odd
    assert not re.search(r"\b(NaN|nan|Infinity|undefined|null|None)\b", odd)


def test_any_picture_can_be_saved_as_a_page(tmp_path):
    dot = alt.Chart(alt.InlineData(values=[{"x": 1}]), title="One dot").mark_point().encode(x="x:Q")
    save_chart(dot, tmp_path / "dot.html")
    page = (tmp_path / "dot.html").read_text("utf-8")
    assert "One dot" in page.partition("<script")[0]


def test_another_ending_is_refused_with_the_right_ones(tmp_path):
    dot = alt.Chart(alt.InlineData(values=[{"x": 1}])).mark_point().encode(x="x:Q")
    with pytest.raises(ValueError, match=r"\.svg, \.png, \.html"):
        save_chart(dot, tmp_path / "plan.pdf")


def luminance(colour):
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first, second):
    low, high = sorted((luminance(first), luminance(second)))
    return (high + 0.05) / (low + 0.05)


def test_words_stand_out_from_the_paper_as_accessibility_rules_ask():
    """Web Content Accessibility Guidelines 2.2, criterion 1.4.3: at least 4.5 to 1."""
    for colour in (INK, MUTED, BEET):
        assert contrast(colour, PAPER) >= 4.5


def test_states_that_follow_each_other_differ_in_grey():
    order = [STATE_COLOURS[s] for s in ("filling", "resting", "ready")]
    order += [STATE_COLOURS["held"], STATE_COLOURS["failed"], STATE_COLOURS["filling"]]
    for first, second in pairwise(order):
        assert contrast(first, second) >= 1.8
    assert {BEET, STRAW, SLATE, PAPER} <= set(STATE_COLOURS.values())
