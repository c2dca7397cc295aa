"""The plan as text: whole, in units, within the console, safe."""

import io
import re

import pytest
from invented import LONG, START, calendar, drivers, ground, invented_plan, liquid, rng, site
from pydantic import BaseModel
from rich.console import Console

from sourloam.planning.contract import Effect, Range, RuledOut
from sourloam.report.quantities import amount, one
from sourloam.report.text import plan_text

# Drawn as bars or said in a part's own words.
DRAWN = {"by_week", "level", "by_share", "by_surface", "computed", "phosphorus"}


def printed(plan, width=118, system="metric", **console):
    out = io.StringIO()
    Console(file=out, width=width, **console).print(plan_text(plan, system))
    return out.getvalue()


def flowing(text):
    return " ".join(text.split())


def ranges(part):
    if isinstance(part, Range):
        yield part
    elif isinstance(part, BaseModel):
        for name in type(part).model_fields:
            if name not in DRAWN:
                yield from ranges(getattr(part, name))
    elif isinstance(part, tuple):
        for entry in part:
            yield from ranges(entry)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_range_of_the_plan_is_shown_with_its_unit(system):
    plan = invented_plan()
    text = flowing(printed(plan, system=system))
    found = list(ranges(plan))
    assert len(found) > 80
    for quantity in found:
        shown = amount(quantity, system).replace("\u00a0", " ")
        # In a column whose head says days, layers or spoons the word is not repeated.
        bare = shown.replace(" layers", "").replace(" days", "").replace(" spoons", "")
        assert bare in text or shown in text, quantity


@pytest.mark.parametrize("width", [40, 60, 80, 100, 120, 200])
@pytest.mark.parametrize("system", ["metric", "us"])
def test_no_line_is_wider_than_the_console(width, system):
    lines = printed(invented_plan(), width=width, system=system).splitlines()
    assert len(lines) > 200
    assert max(map(len, lines)) <= width


def test_no_line_ends_in_spaces_and_no_two_blank_lines_follow_each_other():
    text = printed(invented_plan(), width=80)
    assert not re.search(r"[ \t]\n", text)
    assert "\n\n\n" not in text


def test_a_file_gets_no_colour_codes():
    assert "\x1b" not in printed(invented_plan(), width=80)


def test_without_colour_the_words_are_the_same():
    plain = printed(invented_plan(), width=80)
    bold = printed(invented_plan(), width=80, force_terminal=True, no_color=True)
    assert "\x1b[1m" in bold
    assert not re.search(r"\x1b\[[0-9;]*3[0-7]m", bold)
    assert re.sub(r"\x1b\[[0-9;]*m", "", bold) == plain


def test_a_console_of_plain_letters_gets_only_plain_letters_in_the_same_columns():
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="ascii")
    Console(file=out, width=80).print(plan_text(invented_plan()))
    out.flush()
    lines = raw.getvalue().decode("ascii").splitlines()
    assert [len(line) for line in lines] == [
        len(line) for line in printed(invented_plan(), width=80).splitlines()
    ]


def test_us_readers_get_gallons_pounds_and_fahrenheit():
    text = flowing(printed(invented_plan(), system="us"))
    assert "5 US gal" in text
    assert "28 lb (26 to 31)" in text
    assert "70 °F (67 to 73)" in text
    assert "0.43 oz per lb" in text
    assert "0.94 US fl oz per lb" in text
    assert "538 sq ft" in text
    # What stays is what the site's own sentences say.
    own = " ".join((*site().scraps, site().room, ground().why, "0.28-0.38 kg a day 0.47 kg go in"))
    left = [m for m in re.findall(r"\d (?:kg|L|mL|m²)\b", text) if m not in own]
    assert not left


def test_what_never_happens_is_said_in_words():
    never = rng(None, None, None, "days")
    plan = invented_plan(
        liquid=liquid().model_copy(update={"days_until_sump_full": never}),
        drivers=tuple(
            d.model_copy(
                update={
                    "effects": (
                        Effect(outcome="fill", unit="days", at_low=None, at_high=20, share=1.0),
                    )
                }
            )
            for d in drivers()
        ),
    )
    fill = plan.fill[0].model_copy(
        update={
            "by_season": tuple(s.model_copy(update={"days": never}) for s in plan.fill[0].by_season)
        }
    )
    text = flowing(printed(plan.model_copy(update={"fill": (fill,)})))
    assert "One vessel fills in beyond" not in text
    assert "Begun in winter and spring and summer and autumn, it does not fill" in text
    assert "never drained, it would not be full within the time foreseen" in text
    assert not re.search(r"\b(nan|inf|None)\b", text)
    assert "never" in text


@pytest.mark.parametrize("width", [44, 80])
def test_cautions_are_whole_with_reason_and_source(width):
    text = flowing(printed(invented_plan(), width=width))
    for caution in invented_plan().cautions:
        for part in (caution.title, caution.applies, caution.text, caution.source):
            assert flowing(part) in text
    assert LONG.endswith("the marmot sleeps.")


def test_the_share_of_vessels_that_go_bad_is_shown():
    text = flowing(printed(invented_plan()))
    assert "Bad, of 100" in text
    assert "26 (21 to 34) 7 summer" in text


def test_the_answer_comes_first():
    first = flowing(printed(invented_plan()))[:260]
    assert "You need three vessels (kitchen bucket, 19 L). You own two." in first
    assert "3 in 100" in first
    assert "Weigh your scraps" in flowing(printed(invented_plan()))[:480]
    assert (
        "the middle amount, 0.47 kg a day, then two will do."
        in flowing(printed(invented_plan()))[:480]
    )


def test_where_no_number_is_enough_the_way_out_is_said_first():
    plan = invented_plan()
    option = plan.vessels.options[0].model_copy(
        update={"needed": None, "way_out": "drums of about 60 L would do"}
    )
    plan = plan.model_copy(
        update={"vessels": plan.vessels.model_copy(update={"options": (option,)})}
    )
    first = flowing(printed(plan))[:420]
    assert "Up to eight vessels" in first
    assert "are not enough" in first
    assert "Drums of about 60 L would do." in first


def test_without_ground_the_tub_is_described():
    tub = ground().model_copy(
        update={
            "way": "tub",
            "bed_area": None,
            "bed_area_least": None,
            "bed_area_given": None,
            "trench_per_vessel": None,
            "enough": None,
            "limited_by": "tub volume",
            "tub_soil": rng(38, 31, 47, "L"),
        }
    )
    text = flowing(printed(invented_plan(ground=tub)))
    assert "each into a soil tub with 38 L (31 to 47) of soil" in text
    assert " of bed" not in text


def test_names_cannot_steer_the_terminal_or_the_layout():
    name = "[bold red]Marmot[/] \x1b[31m\x07 [link=x]kitchen"
    text = printed(
        invented_plan(site=site().model_copy(update={"name": name})), force_terminal=True
    )
    assert "[bold red]Marmot[/]" in text
    assert "\x1b[31m" not in text
    assert "\x07" not in text


def test_each_entry_of_the_calendar_stands_under_its_month():
    text = printed(invented_plan(), width=100)
    _, _, part = text.partition("The year, month by month")
    part, _, _ = part.partition("What moves the answer most")
    for entry in calendar():
        assert entry.text in part
    march, april = part.index("March 2027"), part.index("April 2027")
    assert march < part.index("About full") < april < part.index("Bury")
    assert START.strftime("%B %Y") == "March 2027"


def test_vessels_that_the_middle_case_never_needs_stand_by():
    plan = invented_plan()
    more = plan.vessels.model_copy(update={"chosen_number": 5})
    text = flowing(printed(plan.model_copy(update={"vessels": more})))
    assert "and two more stand by, for years less lucky than this one" in text
    assert "stand by" not in flowing(printed(plan))


def test_a_line_below_the_strips_is_never_cut_off():
    plan = invented_plan()
    long = [s.model_copy(update={"vessel": f"drum {s.vessel}"[:24]}) for s in plan.vessels.year]
    more = plan.vessels.model_copy(update={"chosen_number": 30, "year": long})
    text = printed(plan.model_copy(update={"vessels": more}), width=70)
    assert "more stand by, for years less lucky than this one" in text


def test_an_input_in_a_unit_of_science_is_told_in_words():
    stiff = drivers()[3].model_copy(
        update={"name": "how stiff the scraps are", "text": "How stiff the scraps are, soft or "
                "stiff: days to fill 23 or 28.", "unit": "Pa m3/kg"}
    )  # fmt: skip
    text = flowing(printed(invented_plan(drivers=(stiff,))))
    assert "how stiff the scraps are, soft or stiff Days to fill" in text
    assert "Pa" not in text.split("What moves the answer most")[1].split("Rules of thumb")[0]


def test_an_input_that_changes_nothing_visible_says_so():
    same = Effect(outcome="fill", unit="days", at_low=26.1, at_high=26.3, share=0.01)
    idle = drivers()[0].model_copy(update={"effects": (same,)})
    text = flowing(printed(invented_plan(drivers=(idle,))))
    assert f"Moves nothing by itself here: {drivers()[0].name}." in text


def test_units_that_nobody_knows_are_refused():
    with pytest.raises(ValueError, match="expected one of metric, us"):
        plan_text(invented_plan(), "imperial")


def test_the_way_to_read_a_range_is_shown_on_a_figure_of_this_plan():
    plan = invented_plan()
    text = flowing(printed(plan))
    days = plan.fill[0].by_season[0].days
    low, middle, high = (f"{x:.0f}" for x in (days.low, days.median, days.high))
    assert f"Read {middle} days ({low} to {high}) as: {middle} is the middle value" in text
    assert f"lie between {low} and {high}." in text


def test_what_the_spared_vessels_are_for_is_said_in_a_sentence():
    plan = invented_plan()
    option = plan.vessels.options[0]
    fewer = option.model_copy(update={"needed_if_weighed": option.needed - 1})
    vessels = plan.vessels.model_copy(update={"options": (fewer, *plan.vessels.options[1:])})
    text = flowing(printed(plan.model_copy(update={"vessels": vessels})))
    high = one(plan.scraps.per_day.high, "kg/day", "metric")
    assert f"yours may as well be a kitchen that makes {high}" in text


def test_a_kind_that_is_ruled_out_takes_one_line_and_no_table():
    plan = invented_plan()
    small = RuledOut(
        vessel="5 L jar", owned=1, days=rng(0.5, 0.3, 1, "days"), why="Too small here."
    )
    vessels = plan.vessels.model_copy(update={"ruled_out": (small,)})
    text = printed(plan.model_copy(update={"vessels": vessels}), width=80)
    after = text.partition("5 L jar")[2].splitlines()
    assert after[1] == "Too small here."
    assert after[2] == ""


def test_a_figure_and_its_percent_stay_on_one_line():
    for width in range(60, 120, 3):
        for line in printed(invented_plan(), width=width).splitlines():
            assert not line.lstrip().startswith("%"), (width, line)


def test_the_same_usual_advice_is_not_read_out_for_each_kind():
    plan = invented_plan()
    twice = plan.model_copy(update={"fill": (plan.fill[0], plan.fill[0])})
    assert flowing(printed(twice)).count(f"Usual advice: {plan.fill[0].usual.text}") == 1


def test_months_that_hardly_differ_are_told_in_one_line():
    plan = invented_plan()
    alike = tuple(
        m.model_copy(update={"amount": rng(3.3, 2.1, 4.9, "kg")}) for m in months_of(plan)
    )
    weeks = tuple(w.model_copy(update={"closed": ""}) for w in plan.scraps.by_week)
    scraps = plan.scraps.model_copy(update={"by_month": alike, "by_week": weeks})
    text = flowing(printed(plan.model_copy(update={"scraps": scraps})))
    assert "In a week, much the same in every month: 3.3 kg (2.1 to 4.9)." in text
    assert "Scraps in a week" not in text


def test_months_that_differ_stand_in_a_table_with_what_is_closed():
    text = printed(invented_plan(), width=80)
    table = text.partition("Scraps in a week")[2]
    assert re.search(r"March 2027 +3\.3 kg \(2\.1 to 4\.9\)\n", table)
    assert re.search(r"August 2027 .*summer away\n", table)


def months_of(plan):
    return plan.scraps.by_month


def test_the_answer_names_what_sets_the_limit_and_the_bed_that_would_do():
    text = flowing(printed(invented_plan()))
    assert "two are buried whole, one is buried in part and nine go elsewhere." in text
    assert (
        "Nitrogen sets the limit: 50 m² (38 to 66) of bed like yours would take all of it." in text
    )
    assert "Buried in part, the rest elsewhere 1 vessel" in text
    assert "2.6 g/m² (1.4 to 4.1); harvests carry away 2.2 g/m²" in text
    us = flowing(printed(invented_plan(), system="us"))
    assert "0.85 oz on 100 sq ft (0.46 to 1.3); harvests carry away 0.72 oz on 100 sq ft" in us
    plenty = ground().model_copy(update={"bed_area_given": 90.0})
    said = flowing(printed(invented_plan(ground=plenty)))
    assert "The beds would be large enough, were they free when vessels are ready." in said


def test_a_vessel_that_takes_as_much_as_it_is_sold_for_says_why():
    from sourloam.planning.contract import VesselKind
    from sourloam.report.running import size_words

    bin_, pail = (
        VesselKind(name="bin", volume=volume, usable=usable, surface=0.2, owned=1)
        for volume, usable in ((120, 119.6), (19, 14.4))
    )
    assert size_words(bin_, "metric").startswith("sold as 120 L; it holds more to the brim")
    assert size_words(pail, "metric") == "of 19 L, with room for 14 L of scraps"
