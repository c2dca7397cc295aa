"""The page to play with: open to all, bounded, honest about bad addresses, true to the model."""

import gzip
import html
import json
import re
from dataclasses import replace
from functools import cache
from urllib.parse import parse_qsl

import numpy as np
import pytest
from django.urls import reverse
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam import drawing
from sourloam.documents.class_kit import play_address
from sourloam.documents.experiment import MEASURED, evidence_ids, foresee_jars, jars
from sourloam.evidence import book
from sourloam.vessel import Chance
from sourloam.web.try_it import gate as try_it_gate
from sourloam.web.try_it import model as try_it_model
from sourloam.web.try_it.form import class_trials, ready_made
from sourloam.web.try_it.gate import TooBusy, Turnstile
from sourloam.web.try_it.model import both, reckon
from sourloam.web.try_it.moves import moves
from sourloam.web.try_it.page import answer_of
from sourloam.web.try_it.settings import (
    CHOICES,
    DAYS,
    DIALS,
    UNITS,
    Side,
    Trial,
    address_of,
    dials_of,
    read_trial,
    usual,
)
from sourloam.web.try_it.stand import Seen, stand_of
from sourloam.web.try_it.words import Gap, _ends, middle_of, says

USUAL = Side()
known = cache(reckon)
FEW = settings(derandomize=True, max_examples=60, deadline=None)


@pytest.fixture
def keeper(db):
    """A house has its first keeper; whoever plays is nobody."""
    from django.contrib.auth.models import User

    return User.objects.create(username="Ada")


@pytest.fixture(autouse=True)
def fresh_gate(monkeypatch):
    """No test pays for what the one before asked."""
    from sourloam.web.views import try_it

    gate = Turnstile(at_once=3, burst=200, each_s=0.01, callers=10)
    gate._kept = try_it_gate.turnstile._kept
    monkeypatch.setattr(try_it, "turnstile", gate)
    return gate


def asked(client, page="try_it", **query):
    return client.get(reverse(f"web:{page}"), query)


def text_of(response):
    return html.unescape(response.content.decode())


def a_side(body):
    numbers = {
        dial.name: st.integers(0, round((dial.high - dial.low) / dial.step)).map(
            lambda n, dial=dial: dial.snapped(dial.low + n * dial.step)
        )
        for dial in dials_of(body)
    }
    chosen = {name: st.sampled_from(values) for name, values in CHOICES.items()}
    return st.builds(Side, body=st.just(body), **numbers, **chosen)


TRIALS = st.sampled_from(sorted(DAYS)).flatmap(
    lambda body: st.builds(
        Trial, a_side(body), a_side(body), st.integers(1, DAYS[body]), st.sampled_from(UNITS)
    )
)


@FEW
@given(TRIALS)
def test_an_address_says_all_that_was_set(trial):
    assert read_trial(dict(parse_qsl(address_of(trial)))) == trial


@FEW
@given(
    st.dictionaries(
        st.sampled_from([f"{s}_{d.name}" for s in "ab" for d in DIALS] + ["day", "body", "a_mix"]),
        st.one_of(st.text(max_size=12), st.floats().map(str), st.integers().map(str)),
    )
)
def test_any_address_is_a_trial_within_bounds_or_one_line(query):
    try:
        trial = read_trial(query)
    except ValueError as error:
        line = str(error)
    else:
        line = ""
    if line:
        assert "\n" not in line
        assert ": found “" in line
        return
    for side in (trial.a, trial.b):
        dials = dials_of(side.body)
        assert all(dial.low <= getattr(side, dial.name) <= dial.high for dial in dials)
    assert 1 <= trial.day <= trial.last_day


def test_nobody_needs_to_sign_in(client, keeper):
    page = asked(client)
    assert page.status_code == 200
    assert "csrf" not in text_of(page), "nothing is sent, nothing is stored"
    assert not client.session.keys()


@pytest.mark.parametrize("bad", ["hot", "nan", "inf", "-400", "1e400", "20;drop", "²"])
def test_a_bad_setting_is_told_in_one_line_and_the_usual_vessels_stand_there(client, keeper, bad):
    page = asked(client, b_warmth=bad)
    assert page.status_code == 400
    assert text_of(page).count('class="fault"') == 1
    assert "b_warmth: found “" in text_of(page)
    assert text_of(page).count('class="stand"') == 2
    for part in ("try_it_answer", "try_it_frames", "try_it_moves"):
        assert asked(client, part, a_warmth=bad).status_code == 400


def test_what_is_written_in_an_address_is_never_markup(client, keeper):
    page = asked(client, a_mix="<b>x</b>")
    assert "<b>x</b>" not in page.content.decode()


def test_a_cold_shed_is_later_and_fails_more_often(client, keeper):
    kitchen, shed = reckon(USUAL), reckon(replace(USUAL, warmth=8))
    assert np.median(shed.sour_days) > np.median(kitchen.sour_days) + 3
    assert shed.failing.share > kitchen.failing.share + 0.2
    said = text_of(asked(client, "try_it_answer", b_warmth="8"))
    assert "Colder by 12 °C" in said
    assert "in a hundred fail instead of" in said


def test_leaks_and_openings_bring_mould_and_bread_keeps_the_liquid():
    kitchen = reckon(USUAL)
    for change in ({"leak": 2.0}, {"opened": 1.0}):
        assert reckon(replace(USUAL, **change)).spoilt_top.share > kitchen.spoilt_top.share + 0.5
    dry = reckon(replace(USUAL, bread=60.0))
    assert np.median(dry.liquid_total_ml) < 0.2 * np.median(kitchen.liquid_total_ml)


def test_a_vessel_only_fills_drains_and_is_fed_on_its_days():
    kitchen = reckon(USUAL)
    assert (np.diff(kitchen.liquid_ml[1]) >= 0).all()
    assert kitchen.layers_on(0) == 1
    assert kitchen.layers_on(kitchen.days - 1) == len(kitchen.layer_days)
    assert 0.5 < np.nanmax(kitchen.level) <= 1.0
    for layer, day in enumerate(kitchen.layer_days):
        there = np.isfinite(kitchen.layer_ph[layer])
        assert there[day:].all()
        assert not there[:day].any()


@pytest.mark.parametrize("body", sorted(DAYS))
@pytest.mark.parametrize("end", ["low", "high"])
def test_every_day_is_told_at_both_ends_of_every_slider(body, end):
    far = {dial.name: getattr(dial, end) for dial in dials_of(body)}
    side = replace(usual(body), **far, mix="garden", pieces="whole")
    outcome = reckon(side)
    assert np.isfinite(outcome.newest_ph).all()
    assert np.isfinite(outcome.level).all()
    assert 0 < outcome.level.max() <= 1


def test_the_jars_are_those_of_the_printed_kit():
    parameters = book().sample(evidence_ids(), try_it_model.MEMBERS, np.random.default_rng(1))
    room, without, cold = foresee_jars(20.0, parameters)
    for query, printed in zip(class_trials(), (without, cold), strict=True):
        trial = read_trial(dict(parse_qsl(query["query"])))
        for side, outlook in ((trial.a, room), (trial.b, printed)):
            shown = reckon(side).newest_ph[1]
            for day, ph in list(zip(MEASURED, outlook.ph, strict=True))[1:]:
                assert shown[day - 1] == pytest.approx(ph.median, abs=0.12), (side, day)


def test_the_code_of_the_kit_sets_up_the_class_trial():
    first, without, cold = jars(20.0)
    for other, offer in zip((without, cold), class_trials(), strict=True):
        query = dict(parse_qsl(play_address("http://shed.example/v", first, other).split("?")[1]))
        set_up, offered = read_trial(query), read_trial(dict(parse_qsl(offer["query"])))
        assert (set_up.a, set_up.b) == (offered.a, offered.b)


def test_six_comparisons_are_one_tap_each_and_say_what_they_do(client, keeper):
    offers = ready_made()
    assert len(offers) == 6
    page = text_of(asked(client))
    for offer in offers:
        assert f'href="?{offer["query"]}"' in page
        trial = read_trial(dict(parse_qsl(offer["query"])))
        assert len(trial.changes()) == 1
        sentence = says(trial, known(trial.a), known(trial.b))
        assert re.fullmatch(r".+: .+\. .+\.", sentence), sentence


def test_alike_vessels_are_told_to_be_alike():
    assert "alike" in says(Trial(), reckon(USUAL), reckon(USUAL))


def test_every_figure_has_its_range_and_every_row_its_source(client, keeper):
    page = text_of(asked(client))
    table = page.split('class="pairs"')[1].split("</table>")[0]
    cells = re.findall(r'class="figure">([^<]+)</span> <span class="range">([^<]*)<', table)
    assert len(cells) == 10
    assert all(re.search(r"\d.*–", ends) for _, ends in cells)
    rows = page.split("Who says so")[1].split("</table>")[0]
    assert all(
        who.strip() for who in re.findall(r"<tr><td>[^<]+</td><td>[^<]+</td><td>([^<]*)<", rows)
    )


def test_frames_are_every_day_of_both_and_small(client, keeper):
    answer = client.get(
        reverse("web:try_it_frames"), {"b_warmth": "8"}, headers={"accept-encoding": "gzip"}
    )
    assert answer["Content-Encoding"] == "gzip"
    assert len(answer.content) < 120_000
    made = json.loads(gzip.decompress(answer.content))
    assert [len(made[side]) for side in "ab"] == [DAYS["pail"]] * 2
    assert made["a"][0]["line"].startswith("1 layer,")
    plain = asked(client, "try_it_frames", b_warmth="8")
    assert json.loads(plain.content) == made


def test_what_moves_a_vessel_most_is_told_with_the_way_to_see_it(client, keeper):
    told = moves(USUAL, known)
    assert len(told) == 3
    changed = [read_trial(dict(parse_qsl(one["query"]))).changes() for one in told]
    assert all(len(one) == 1 for one in changed)
    assert any(one in (("opened",), ("leak",), ("warmth",)) for one in changed)
    assert text_of(asked(client, "try_it_moves")).count("<li>") == 3
    assert text_of(asked(client, moves="1")).count("<li>") >= 3, "without script too"


def test_a_caller_who_asks_too_much_waits_and_others_do_not(monkeypatch):
    made = []
    monkeypatch.setattr(try_it_gate, "reckon", lambda side: made.append(side) or side)
    gate = Turnstile(at_once=3, burst=5, each_s=2.0, callers=100)
    for warm in range(5):
        gate.outcome(replace(USUAL, warmth=warm + 2), "one", now_s=0.0)
    with pytest.raises(TooBusy) as told:
        gate.outcome(replace(USUAL, warmth=30), "one", now_s=0.0)
    assert told.value.after_s == 2
    gate.outcome(replace(USUAL, warmth=2), "one", now_s=0.0)  # kept: free of charge
    gate.outcome(replace(USUAL, warmth=31), "other", now_s=0.0)
    gate.outcome(replace(USUAL, warmth=30), "one", now_s=2.0)
    assert len(made) == 7


def test_no_more_than_a_few_are_reckoned_at_once(monkeypatch):
    import threading

    going, free = threading.Event(), threading.Event()

    def slow(side):
        going.set()
        free.wait(10)
        return side

    monkeypatch.setattr(try_it_gate, "reckon", slow)
    gate = Turnstile(at_once=1, burst=50, each_s=1.0, callers=100)
    first = threading.Thread(target=gate.outcome, args=(USUAL, "one"))
    first.start()
    assert going.wait(10)
    with pytest.raises(TooBusy):
        gate.outcome(replace(USUAL, warmth=30), "two")
    free.set()
    first.join()
    assert gate.outcome(replace(USUAL, warmth=30), "two").warmth == 30


def test_who_must_wait_is_told_so_and_for_how_long(client, keeper, monkeypatch):
    from sourloam.web.views import try_it

    gate = Turnstile(at_once=1, burst=0, each_s=5.0, callers=10)
    monkeypatch.setattr(try_it, "turnstile", gate)
    for part in ("try_it", "try_it_answer", "try_it_frames", "try_it_moves"):
        page = asked(client, part, a_warmth="37", b_warmth="36")
        assert page.status_code == 429
        assert int(page["Retry-After"]) >= 1
        assert "no-store" in page["Cache-Control"]
    assert asked(client, a_warmth="hot").status_code == 400, "a bad address is told all the same"


def test_numbers_on_the_spanish_page_have_a_comma(client, keeper):
    page = client.get(reverse("web:try_it"), {"b_warmth": "8"}, headers={"accept-language": "es"})
    read = re.sub(r"<script.*?</script>|<[^>]+>", " ", page.content.decode(), flags=re.S)
    assert re.search(r"pH \d,\d", read)
    assert re.findall(r"\S*\d\.\d\S*", read) == []


def test_the_page_speaks_spanish(client, keeper):
    page = client.get(reverse("web:try_it"), {"b_warmth": "8"}, headers={"accept-language": "es"})
    said = text_of(page)
    assert "¿Y si…?" in said
    assert "Colder" not in said
    assert "Warmth" not in said


def test_nothing_on_the_page_leads_outside_or_runs_inline(client, keeper):
    page = asked(client)
    said = page.content.decode().replace("http://www.w3.org/2000/svg", "")
    assert "http:" not in said
    assert "https:" not in said
    assert not re.search(r"\son\w+=|style=|<script>(?!</)", said)
    assert "script-src 'self'" in page["Content-Security-Policy"]


def test_the_door_and_the_shelf_lead_there(client, keeper):
    assert reverse("web:try_it") in text_of(client.get(reverse("web:enter")))


def test_whoever_thinks_in_us_units_plays_in_them_and_can_go_back(client, keeper):
    page = text_of(asked(client, a_warmth=5, b_plate=2, units="us"))
    assert "41 °F" in page
    assert "4.4 lb" in page
    assert "oz per lb" in page
    assert "In metric units" in page
    assert not re.search(r"\d (kg|mL|L|°C)\b", re.sub(r"(?s)<details.*?</details>", "", page))
    offers = re.findall(r'<a href="\?([^"]+)"', page)
    assert offers
    assert all(read_trial(dict(parse_qsl(offer))).units == "us" for offer in offers)
    (back,) = re.findall(r'id="other-units" href="[^"?]+\?([^"]*)"', page)
    assert read_trial(dict(parse_qsl(back))) == read_trial({"a_warmth": "5", "b_plate": "2"})
    assert "41 °F" not in text_of(asked(client, a_warmth=5, b_plate=2))


def test_the_page_opens_with_a_difference_and_one_that_asks_for_none_gets_none(client, keeper):
    opened = text_of(client.get(reverse("web:try_it")))
    assert 'name="b_warmth" min="2" max="38" step="1" value="8"' in opened
    assert f'name="day" min="1" max="{DAYS["pail"]}" step="1" value="{DAYS["pail"]}"' in opened
    assert 'aria-current="true">Cold shed, warm kitchen' in opened
    alike = text_of(client.get(reverse("web:try_it"), {"day": "20"}))
    assert "A and B are alike." in alike


@pytest.mark.parametrize("warmth", [8, 20])
def test_the_newest_layer_is_drawn_in_the_step_that_its_caption_names(warmth):
    from sourloam.drawing import sourness
    from sourloam.web import wording as w
    from sourloam.web.try_it.stand import _vessel

    side = Side(warmth=warmth)
    made = reckon(side)
    seen = Seen(Trial(side, side), made, made)
    for day in range(1, DAYS["pail"]):
        top = _vessel(side, made, day - 1).layers[-1]
        line = stand_of(seen, "a", day)["line"]
        assert f"newest: {w.word(w.SOURNESS, sourness(top.ph))}, pH {top.ph:.1f}" in line, day
        assert sourness(top.ph) == sourness(float(f"{top.ph:.1f}")), day


def seen_of(a, b, **more):
    trial = Trial(a, b, **more)
    return Seen(trial, *both(trial, known))


def test_one_that_is_late_is_said_to_be_late_and_not_drawn_spoiled():
    seen = seen_of(Side(), Side(warmth=8))
    last, before = (stand_of(seen, "b", day) for day in (DAYS["pail"], DAYS["pail"] - 1))
    days = int(middle_of(known(Side(warmth=8)).sour_days))
    assert f"late: newest sour {days} days after it went in, not steady" in last["line"]
    assert 'class="d-spoiled"' not in last["svg"]
    assert drawing.draw_mark_swatch("late").split("<g")[2].split(">", 1)[1][:60] in last["svg"]
    assert "late" not in before["line"]
    assert "late" not in stand_of(seen, "a", DAYS["pail"])["line"]


def test_one_that_is_spoiled_is_drawn_and_said_so_and_one_that_lost_its_acid_says_that():
    made = known(Side(warmth=8))
    sure, rare = Chance(0.9, 0.8, 1.0), Chance(0.1, 0.0, 0.2)
    spoiled = replace(made, failing=sure, putrid=sure, late=rare)
    trial = Trial(Side(), Side(warmth=8))
    stood = stand_of(Seen(trial, made, spoiled), "b", DAYS["pail"])
    assert "spoiled by butyric acid or ammonia" in stood["line"]
    assert 'class="d-spoiled"' in stood["svg"]
    soured = replace(made, newest_ph=made.newest_ph + 1.0)
    assert "lost its acid again" in stand_of(Seen(trial, made, soured), "b", 56)["line"]
    never = replace(soured, sour_days=np.full_like(made.sour_days, np.inf))
    assert "still not sour after 4 weeks" in stand_of(Seen(trial, made, never), "b", 56)["line"]


def test_the_lid_is_closed_on_every_day():
    seen = seen_of(Side(), Side(opened=2))
    for day in (1, 4, 20, 40):
        assert "rotate" not in stand_of(seen, "a", day)["svg"]
        assert "rotate" not in stand_of(seen, "b", day)["svg"]


@pytest.mark.parametrize("change", [{"bran": 0}, {"bread": 60}, {"mix": "garden"}])
def test_both_are_filled_on_the_same_days(change):
    a, b = both(Trial(b=replace(USUAL, **change)), known)
    assert a.layer_days == b.layer_days


def test_a_vessel_of_larger_layers_is_filled_in_fewer_days():
    a, b = both(Trial(b=replace(USUAL, layer=3.0)), known)
    assert len(b.layer_days) < len(a.layer_days)
    assert b == known(replace(USUAL, layer=3.0))


def compared(offer):
    trial = read_trial(dict(parse_qsl(offer["query"])))
    return trial, Seen(trial, *both(trial, known))


@pytest.mark.parametrize("offer", ready_made(), ids=lambda offer: offer["name"])
def test_a_sentence_tells_no_difference_that_the_table_does_not_show(offer):
    trial, seen = compared(offer)
    sentence = says(trial, seen.a, seen.b)
    cells = [[cell["middle"] for cell in row["cells"]] for row in answer_of(seen)["facts"]]
    found = re.findall(
        r"(\d[\d.]*)(?: in a hundred| days?| m?L|) [a-z ]*instead of (\d+(?:\.\d+)?)", sentence
    )
    assert found or "not sour" in sentence
    for after, before in found:
        pairs = [(a.split()[0], b.split()[0]) for a, b in cells]
        assert (before, after) in pairs, (sentence, pairs)


def test_what_differs_by_no_figure_is_hardly_a_difference_with_its_range():
    sentence = says(Trial(b=replace(USUAL, plate=0)), known(USUAL), known(replace(USUAL, plate=0)))
    assert "hardly a difference; both are sour after 3 days (run by run the same day)" in sentence


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (0, 0, "the same day"),
        (0, 3, "0 to 3 days later"),
        (-4, -1, "1 to 4 days sooner"),
        (-1, 5, "1 sooner to 5 later"),
        (0, 1e6, "from the same day to never"),
        (2, 1e6, "from 2 days later to never"),
        (-1e6, -2, "2 or more days sooner"),
        (-1e6, 1e6, ""),
    ],
)
def test_the_range_of_a_difference_is_told_in_its_direction(low, high, said):
    assert _ends(Gap(low, low, high)).removeprefix("run by run ") == said


def test_bran_decides_in_its_ready_made_comparison_and_hardly_in_a_warm_kitchen():
    offer = next(one for one in ready_made() if "bran" in one["name"])
    trial, seen = compared(offer)
    assert seen.b.failing.share - seen.a.failing.share > 0.2
    assert seen.a.fails != seen.b.fails, "most runs without bran fail, as can be seen at the end"
    assert "Most lactic bacteria come with the bran" in says(trial, seen.a, seen.b)
    warm = seen_of(USUAL, replace(USUAL, bran=0))
    assert abs(warm.b.failing.share - warm.a.failing.share) < 0.1
    said = says(warm.trial, warm.a, warm.b)
    assert "bran or not" in said
    assert "fail instead" not in said


def test_a_ready_made_comparison_opens_at_its_end_and_keeps_its_mark_on_other_days(client, keeper):
    for offer in ready_made():
        assert read_trial(dict(parse_qsl(offer["query"]))).day == DAYS["pail"]
    query = dict(parse_qsl(ready_made()[2]["query"]))
    page = text_of(client.get(reverse("web:try_it"), query))
    assert f'aria-current="true">{ready_made()[2]["name"]}' in page


def test_the_table_says_in_which_way_vessels_fail(client, keeper):
    table = text_of(asked(client, b_warmth="8")).split('class="pairs"')[1].split("</table>")[0]
    assert re.search(r"late 75, spoiled \d", table)


def test_one_page_says_what_is_waited_for_in_the_words_of_the_others(client, keeper):
    told = text_of(client.get(reverse("web:sour")))
    for name in ("Newest layer sour", "Newest layer sour and steady", "Usual rest"):
        assert f"<h2>{name}</h2>" in told
    assert "7 to 14 days" in told
    table = text_of(client.get(reverse("web:try_it"))).split('class="pairs"')[1]
    assert '<th scope="row">Newest layer sour</th>' in table
    assert '<th scope="row">Newest layer sour and steady</th>' in table
    assert reverse("web:sour") in table
