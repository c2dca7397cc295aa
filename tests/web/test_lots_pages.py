"""Lots of bran on the pages: what to make, what is there, who has it, what is called back."""

import datetime as dt
import re
from dataclasses import replace
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils.html import escape

from sourloam.bran import LotEvent
from sourloam.ledger import fold
from sourloam.ledger.lot_standing import standing
from sourloam.ledger.lots import WarnedOf
from sourloam.units import SYSTEMS
from strategies.ledger_entries import START, entry


def lots(home, client):
    return client.get(reverse("web:lots", args=[home.id])).content.decode()


def lot(home, client, name):
    return client.get(reverse("web:lot", args=[home.id, name])).content.decode()


def vessel(home, client, name):
    return client.get(reverse("web:vessel", args=[home.id, name])).content.decode()


def a_layer(home, name, lot, days_ago=0.5, grams=20):
    amount = {"measure": "bowl", "count": 1}
    body = {"vessel": name, "amount": amount, "bran_g": grams, "lot": lot}
    return home.write("fed", body, days_ago)


def test_a_place_that_never_had_bran_is_told_what_to_do_and_how_bran_is_made(home, as_):
    from sourloam.web.bran.next_batch import NextBatch
    from sourloam.web.bran.next_batch_words import title

    client = as_("keeper")
    shown = lots(home, client)
    answer = shown.split('class="answer">')[1].split("</p>")[0]
    assert "Write down a bag that came, or make a batch of your own" in answer
    assert "Print the sheet for making it" in shown
    recipe = NextBatch(answer=SimpleNamespace(wanted_kg=1.0))
    assert [title(recipe, u) for u in SYSTEMS] == ["A batch of 1 kg", "A batch of 2.2 lb"]
    stores = client.get(reverse("web:stores", args=[home.id])).content.decode()
    assert "<h1>No bran is written down yet</h1>" in stores
    assert f'href="/p/{home.id}/lots#next-batch"' in stores


@pytest.fixture
def made(home):
    """A place that makes its bran: one lot in store, of which two vessels had some."""
    home.write("bran_mixed", {"lot": "oak-1", "mass_kg": 5, "carrier": "wheat_bran"}, 60)
    home.write("bran_dried", {"lot": "oak-1", "moisture": 0.09}, 38)
    home.write("bran_packed", {"lot": "oak-1", "mass_kg": 4.6, "store_c": 6}, 37)
    a_layer(home, "blue", "oak-1", 3)
    a_layer(home, "green", "oak-1", 39.5)
    return home


@pytest.fixture
def neighbours(made, people):
    """Another place of the coordinator that got of the same lot."""
    from house_of_tests import entry

    from sourloam.logbook.people import make_place
    from sourloam.logbook.recording import record_entry

    place = make_place(people["coordinator"], "Hall at the corner", "Europe/Dublin")
    for kind, body in (
        ("vessel_added", {"vessel": "bin", "name": "Bin", "spec": {"name": "b", "volume": "19 L"}}),
        ("bran_received", {"lot": "oak-1", "mass_kg": 0.8, "source": "the flat"}),
        ("fed", {"vessel": "bin", "amount": {"mass_kg": 1.5}, "bran_g": 30, "lot": "oak-1"}),
    ):
        assert record_entry(people["coordinator"], entry(place.pk, kind, body, 1)).stored
    made.write("bran_handed_out", {"lot": "oak-1", "mass_kg": 0.8, "to": place.name}, 2)
    return place


def test_one_page_says_how_much_to_make_of_what_at_what_cost_and_until_when(made, as_):
    client = as_("coordinator")
    shown = lots(made, client)
    assert "Nothing to make this week; mix the next batch by" in shown
    for part in (
        "Ready, if mixed today",
        "Then strong enough until about",
        "wheat bran",
        "molasses",
    ):
        assert part in shown
    assert "say your prices under “How we make it”" in shown
    made.write("bran_way_set", {"drying": "oven", "carrier_price": 0.9, "inoculum_price": 8})
    shown = lots(made, client)
    assert "Cost, in your money" in shown
    assert "a kg</span>" in shown


def test_a_lot_is_shown_with_what_is_left_its_dose_and_where_it_went(made, as_):
    shown = lot(made, as_("keeper"), "oak-1")
    assert "4.4 kg" in shown, "4.6 kg packed; since then 2 layers that name it, 10 that name none"
    assert "a kilogram of scraps" in shown
    assert "Below the dotted line even the largest dose is too little." in shown
    assert "Blue pail" in shown
    assert "Green pail" in shown
    assert "until" in shown


def test_a_failed_test_condemns_the_lot_and_the_layer_form_no_longer_offers_it(made, as_):
    client = as_("keeper")
    assert 'value="oak-1"' in vessel(made, client, "blue")
    form = {"lot": "oak-1", "test": "sour_drop", "result:n1": ""}
    client.post(reverse("web:log", args=[made.id, "bran_tested"]), form)
    assert "It failed its test" in lot(made, client, "oak-1")
    assert 'value="oak-1"' not in vessel(made, client, "blue").split("</form>")[0]


def test_a_good_count_makes_a_lot_surer(made, as_):
    client = as_("keeper")
    before = lot(made, client, "oak-1")
    made.write("bran_tested", {"lot": "oak-1", "test": "plate", "result": 8.2})
    after = lot(made, client, "oak-1")
    assert "Strong. Give 20 g a kilogram of scraps." in after
    assert "Strong. Give" not in before


def test_bran_on_a_layer_follows_what_is_left_of_the_lots_strength(made, as_):
    client = as_("keeper")
    made.write("bran_tested", {"lot": "oak-1", "test": "plate", "result": 6.5})
    from sourloam.ledger.lot_standing import in_store
    from sourloam.logbook.standing import state_of

    state = state_of(made.id, made.place.zone)[0]
    found = in_store(state, state.site(), dt.datetime.now(dt.UTC).date())[0]
    assert found.today.advised_g_per_kg > 25
    shown = vessel(made, client, "blue")
    assert f"Lot oak-1 today: {found.today.advised_g_per_kg:.2g} g a kilogram" in shown
    assert 'name="bran_g:n1" type="text" inputmode="decimal" value="20"' not in shown


def test_a_recall_hangs_on_every_vessel_that_had_of_it_until_somebody_looked(made, as_):
    client = as_("keeper")
    made.write("bran_recalled", {"lot": "oak-1", "note": "green spots"})
    for name in ("blue", "green"):
        assert "its bran was recalled" in vessel(made, client, name)
    assert "its bran was recalled" not in vessel(made, client, "tin")
    shelf = client.get(reverse("web:shelf", args=[made.id])).content.decode()
    assert "Throw out bran oak-1" in shelf
    assert "green spots" in lot(made, client, "oak-1")
    made.write("looked", {"vessel": "blue", "signs": ["sour_smell"]})
    assert "its bran was recalled" not in vessel(made, client, "blue")
    assert "its bran was recalled" in vessel(made, client, "green")


def test_same_again_never_gives_recalled_bran_once_more(made, as_):
    from sourloam.ledger.due import due
    from sourloam.logbook.standing import state_of

    today = dt.datetime.now(dt.UTC).date()
    a_layer(made, "blue", "oak-1", 0.2)
    made.write("bran_recalled", {"lot": "oak-1"})
    state = state_of(made.id, made.place.zone)[0]
    feeding = [d for d in due(state, {}, None, today) if d.what == "feed" and d.thing[1] == "blue"]
    assert feeding
    assert "lot" not in feeding[0].body
    assert feeding[0].asks == ("lot",)


def test_a_recall_is_told_for_every_other_place_of_the_reader(neighbours, made, as_):
    client = as_("coordinator")
    made.write("bran_recalled", {"lot": "oak-1"})
    shown = lot(made, client, "oak-1")
    assert "Not called back at Hall at the corner yet" in shown
    client.post(reverse("web:log", args=[neighbours.pk, "bran_recalled"]), {"lot": "oak-1"})
    assert "Not called back at" not in lot(made, client, "oak-1")
    there = client.get(reverse("web:vessel", args=[neighbours.pk, "bin"])).content.decode()
    assert "its bran was recalled" in there


def test_a_lot_that_was_started_from_a_recalled_one_says_so(made, as_):
    client = as_("coordinator")
    mixed = {"lot": "oak-2", "mass_kg": 5, "inoculum": "batch", "of_lot": "oak-1"}
    made.write("bran_mixed", mixed, 20)
    assert "The bran it was started with was recalled" not in lot(made, client, "oak-2")
    made.write("bran_recalled", {"lot": "oak-1"}, 0.1)
    assert "oak-1 was recalled, and this lot was started with it" in lot(made, client, "oak-2")


def test_a_batch_on_its_way_is_told_with_what_it_is_to_give(made, as_):
    client = as_("coordinator")
    made.write("bran_mixed", {"lot": "oak-2", "mass_kg": 5}, 20)
    assert "5 kg more is souring or drying." in lots(made, client)
    shown = lot(made, client, "oak-2")
    assert "Meant to give" in shown
    assert "of 0 kg" not in shown


def test_a_test_at_another_place_is_told_beside_its_lot(neighbours, made, as_):
    test = {"lot": "oak-1", "test": "slurry", "result": 4.2}
    made.write("bran_tested", test, 1)
    client = as_("coordinator")
    there = client.get(f"/p/{neighbours.pk}/lots/oak-1").content.decode()
    assert "slurry pH · " in there


def test_the_least_batch_is_weighed_out_as_large_as_it_is_told(home):
    from sourloam.logbook.standing import state_of
    from sourloam.web.bran.next_batch import next_batch

    a_layer(home, "blue", "elm-1", 3, 1)
    home.write("bran_received", {"lot": "elm-1", "mass_kg": 0.002}, 9)
    found = next_batch(state_of(home.id, "UTC")[0], None, dt.date.today(), "metric")
    assert found.wanted.low <= found.wanted.kg <= found.wanted.high
    assert found.answer.wanted_kg == pytest.approx(found.wanted.kg, abs=0.05)
    carrier = found.answer.weighed[0].mass.median
    assert carrier == pytest.approx(found.wanted.kg, rel=0.15)


def test_a_rest_past_its_best_before_asks_for_a_test_and_tells_no_dose(made, as_):
    made.write("bran_packed", {"lot": "ash-1", "mass_kg": 2, "store_c": 20}, 90)
    made.write("bran_mixed", {"lot": "ash-1", "mass_kg": 2}, 120)
    shown = lots(made, as_("coordinator"))
    assert shown.count("past its best before, ") == 1
    assert "test it, or throw it out" in shown


def test_a_keeper_of_one_place_does_not_see_the_other(neighbours, made, as_):
    made.write("bran_recalled", {"lot": "oak-1"})
    assert "Not called back at" not in lot(made, as_("keeper"), "oak-1")


def story_of(lots, place):
    """What happened to lots at a place, as the bran room traces it."""
    for one in lots:
        if one.stored is not None:
            yield LotEvent("made", one.stored, one.id, one.in_kg, place=place)
        for handed in one.handed:
            yield LotEvent("handed_out", handed.day, one.id, handed.body.mass_kg, handed.body.to)
        for use in one.uses:
            at = f"{place}/{use.vessel}"
            yield LotEvent("used", use.layer.day, one.id, use.mass_kg, place, at)


def test_from_a_failed_vessel_to_all_others_on_its_bran(neighbours, made, people):
    from sourloam.bran import trace_vessel
    from sourloam.logbook.standing import state_of

    flat = story_of(state_of(made.id, "UTC")[0].lots, "Flat")
    hall = story_of(state_of(neighbours.pk, "UTC")[0].lots, "Hall")
    found = trace_vessel((*flat, *hall), "Flat/blue")
    assert found.lots == ("oak-1",)
    assert found.other_vessels == ("Flat/green", "Hall/bin")
    assert "Hall at the corner" in found.places


def test_the_sheet_is_a_pdf_of_the_same_batch(made, as_):
    answer = as_("reader").get(reverse("web:bran_sheet", args=[made.id]))
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


def test_air_too_damp_to_dry_bran_is_told_in_words(made, as_):
    made.write("bran_way_set", {"drying": "air", "humidity": 0.95})
    client = as_("coordinator")
    assert "too damp" in lots(made, client)
    answer = client.get(reverse("web:bran_sheet", args=[made.id]))
    assert answer.status_code in (200, 422)


@pytest.mark.parametrize("name", ["bran-9", "<b>", "a" * 64])
def test_no_such_lot(made, as_, name):
    url = reverse("web:lots", args=[made.id]) + f"/{escape(name)}"
    assert as_("keeper").get(url).status_code == 404


def test_a_stranger_sees_no_lot(made, as_):
    url = reverse("web:lot", args=[made.id, "oak-1"])
    assert as_("stranger").get(url).status_code == 404


def test_a_reader_reads_and_writes_nothing(made, as_):
    client = as_("reader")
    for shown in (lots(made, client), lot(made, client, "oak-1")):
        assert "data-entry" not in shown


def test_both_pages_in_spanish(made, as_):
    client = as_("coordinator")
    client.cookies["django_language"] = "es"
    shown = lots(made, client) + lot(made, client, "oak-1")
    for english in ("Best before", "Strong enough", "Tests of strength", "Ready, if mixed"):
        assert english not in shown


@pytest.fixture
def on_its_way(made, people):
    """A place that was given of a tested lot and has not written it down yet."""
    from sourloam.logbook.people import make_place

    place = make_place(people["coordinator"], "Hall at the corner", "Europe/Dublin")
    made.write("bran_tested", {"lot": "oak-1", "test": "plate", "result": 8.2}, 30)
    made.write("bran_handed_out", {"lot": "oak-1", "mass_kg": 0.8, "to": place.name}, 2)
    return place


def test_bran_given_to_a_place_is_taken_in_with_all_that_its_maker_knows(on_its_way, made, as_):
    from sourloam.ledger.lot_standing import standing
    from sourloam.logbook.standing import state_of

    client, url = as_("coordinator"), reverse("web:lots", args=[on_its_way.pk])
    shown = client.get(url).content.decode()
    assert "800 g of oak-1, from " in shown
    form = shown.split('data-entry="bran_received"', 1)[1].split("</form>")[0]
    fields = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form))
    fields.pop("csrfmiddlewaretoken", None)
    client.post(reverse("web:log", args=[on_its_way.pk, "bran_received"]), fields)
    body = on_its_way.entries.get(kind="bran_received").body
    assert (body["mass_kg"], body["moisture"]) == (0.8, 0.09)
    now, there = dt.datetime.now(dt.UTC), ZoneInfo(made.place.zone)
    packed = (now - dt.timedelta(days=37)).astimezone(there).date()  # the clock may have changed
    assert body["age_days"] == (now.astimezone(there).date() - packed).days
    assert body["strength"] > 7.5
    assert "800 g of oak-1, from " not in client.get(url).content.decode()
    today = dt.datetime.now(dt.UTC).date()
    theirs, ours = (
        standing(state.lot("oak-1"), state, state.site(), today)
        for state in (state_of(on_its_way.pk, "UTC")[0], state_of(made.id, "UTC")[0])
    )
    assert abs((theirs.first - ours.first).days) <= 1
    assert theirs.today.activity.median == pytest.approx(ours.today.activity.median, abs=0.1)
    assert theirs.today.strength.median == pytest.approx(ours.today.strength.median, abs=1.2)


def test_a_lot_that_failed_where_it_was_made_says_so_where_it_went(neighbours, made, as_):
    client, at = as_("coordinator"), f"/p/{neighbours.pk}"
    offered = '<option value="oak-1"'
    assert offered in client.get(f"{at}/v/bin").content.decode()
    made.write("bran_tested", {"lot": "oak-1", "test": "sour_drop"}, 0.1)
    there = client.get(f"{at}/lots/oak-1").content.decode()
    assert "<h1>oak-1 failed its test elsewhere</h1>" in there
    assert "give none of it before yours passes" in there.split("</h1>")[1].split("</p>")[0]
    assert "Never tested" not in there
    assert "sour-drop test, " in there.split("Not tested at this place")[1].split("</div>")[0]
    assert "a kilogram of scraps</span>" not in there
    assert offered not in client.get(f"{at}/v/bin").content.decode()
    shown = lots(SimpleNamespace(id=neighbours.pk), client)
    assert "By the log there is no bran in store that may be used." in shown
    assert ">failed</span>" in shown


def test_the_calendar_knows_at_once_what_another_place_recalled(neighbours, made, as_):
    client, at = as_("coordinator"), [neighbours.pk]
    client.post(reverse("web:make_calendar", args=at))
    text = client.get(reverse("web:calendar", args=at)).content.decode()
    feed = text.split('readonly value="')[1].split('"')[0]

    def told():
        return re.sub(r"\r\n ", "", client.get(feed).content.decode())

    assert "No bran that may be used is left." not in told()
    made.write("bran_recalled", {"lot": "oak-1"})
    assert "No bran that may be used is left." in told()


def test_a_test_that_passed_here_since_lifts_what_another_place_found_but_no_recall():
    came = entry(1, "bran_received", {"lot": "oak-1", "mass_kg": 1.0}, 0)
    passed = entry(2, "bran_tested", {"lot": "oak-1", "test": "plate", "result": 8.5}, 8)
    for entries, recalled, usable in (
        ([came], False, False),
        ([came, passed], False, True),
        ([came, passed], True, False),
    ):
        failed = WarnedOf("oak-1", "Hall", START.date() + dt.timedelta(days=7), recalled)
        place = replace(fold(entries), warnings=(failed,))
        found = standing(place.lot("oak-1"), place, None, START.date() + dt.timedelta(days=9))
        assert found.usable is usable, (entries, recalled)


def test_a_bag_that_says_its_age_and_dryness_is_judged_by_them(home):
    from sourloam.ledger.lot_standing import standing
    from sourloam.logbook.standing import state_of

    home.write("bran_received", {"lot": "bare-1", "mass_kg": 1}, 5)
    home.write("bran_received", {"lot": "told-1", "mass_kg": 1, "age_days": 90, "moisture": 0.1}, 5)
    home.write("bran_received", {"lot": "damp-1", "mass_kg": 1, "age_days": 90, "moisture": 0.2}, 5)
    state = state_of(home.id, "UTC")[0]
    today = dt.datetime.now(dt.UTC).date()
    bare, told, damp = (
        standing(state.lot(name), state, None, today) for name in ("bare-1", "told-1", "damp-1")
    )
    assert (today - bare.first).days == 5
    assert (today - told.first).days == 95
    assert told.today.strength.median > damp.today.strength.median
    assert damp.today.activity.median > told.today.activity.median


@pytest.mark.parametrize(
    ("log10", "english", "spanish"),
    [
        (0.3, "hardly any", "casi ninguna"),
        (2.0, "100", "100"),
        (4.4, "25,000", "25\xa0000"),
        (6.0, "1 million", "1 millón"),
        (7.2, "16 million", "16 millones"),
        (9.3, "2 billion", "2 mil millones"),
    ],
)
def test_living_cells_are_told_in_numbers_that_people_say(log10, english, spanish):
    from django.utils import translation

    from sourloam.web.bran.lot_words import cells

    assert cells(log10) == english
    with translation.override("es"):
        assert cells(log10) == spanish


def test_who_buys_bran_is_told_to_order_and_small_amounts_are_told_in_grams(home, as_):
    home.write("bran_received", {"lot": "may-1", "mass_kg": 0.05}, 5)
    shown = lots(home, as_("coordinator"))
    assert "of bran this week, or make it" in shown
    assert "0.0" not in shown.split("To weigh out", 1)[1].split("</table>")[0]


def test_the_next_batch_is_told_to_two_digits_so_that_few_are_followed_through_their_life(home):
    from sourloam.logbook.standing import state_of
    from sourloam.web.bran.next_batch import next_batch

    layer = {"vessel": "blue", "amount": {"mass_kg": 1.0}, "bran_g": 1013.0}
    for day in range(28, 0, -2):
        home.write("fed", layer, day)
    state = state_of(home.id, "Europe/Dublin")[0]
    wanted = next_batch(state, state.site(), dt.date.today(), "metric").wanted
    assert wanted.kg == round(wanted.kg) > 10
    assert wanted.low < wanted.kg < wanted.high


def test_a_vessel_that_failed_on_recalled_bran_has_one_piece_of_work_that_names_both(made, as_):
    client = as_("keeper")
    made.write("judged", {"vessel": "green", "verdict": "failed"}, 2)
    made.write("bran_recalled", {"lot": "oak-1", "note": "green spots"})
    shown = vessel(made, client, "green")
    assert shown.count('<li class="slip"') == 1
    assert "Decide what becomes of Green pail" in shown
    assert "its bran, of lot oak-1, was recalled" in shown
    assert "Look at Green pail" not in shown
    assert "What to do, in this order" in shown
    shelf = client.get(reverse("web:shelf", args=[made.id])).content.decode()
    assert ">decide</span>" in shelf
