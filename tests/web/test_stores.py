"""Bran left, and bowls: what came, what went, how long it lasts."""

import datetime as dt

import pytest
from django.urls import reverse


def text(home, client):
    return client.get(reverse("web:stores", args=[home.id])).content.decode()


def stock_of(home):
    from sourloam.logbook.standing import state_of
    from sourloam.web.bran.stores import stock

    return stock(state_of(home.id, home.place.zone)[0], dt.datetime.now(dt.UTC).date())


def test_what_went_on_the_layers_is_taken_off_what_came(home, as_):
    home.write("bran_received", {"lot": "may-1", "mass_kg": 2.0}, 100)
    found = stock_of(home)
    assert found.came_kg == 2.0
    assert found.used_kg == pytest.approx(21 * 0.020), "21 layers with 20 g each"
    assert found.left_kg == pytest.approx(1.58)
    assert "No bran in store may be used any more" in text(home, as_("keeper")), "100 days old"


def test_bran_that_is_still_good_leads_the_page(home, as_):
    home.write("bran_received", {"lot": "may-1", "mass_kg": 2.0}, 5)
    good = stock_of(home).good_kg
    assert 1.7 < good <= 2.0
    assert f"About {good:.2g} kg of bran may be used" in text(home, as_("keeper"))


def test_what_was_handed_out_and_what_is_too_weak_is_not_counted_as_good(home, as_):
    home.write("bran_received", {"lot": "old-1", "mass_kg": 3.0}, 2000)
    home.write("bran_received", {"lot": "may-1", "mass_kg": 2.0}, 20)
    home.write("bran_handed_out", {"lot": "may-1", "mass_kg": 0.5, "to": "Flat"}, 2)
    found = stock_of(home)
    assert found.came_kg == 5.0
    assert found.out_kg == 0.5
    assert found.good_kg <= 1.5
    assert found.left_kg == pytest.approx(4.5 - found.used_kg)
    shown = text(home, as_("keeper"))
    assert "Handed or thrown out" in shown
    assert "too weak, failed or recalled" in shown


def test_the_day_told_is_the_day_of_the_list_of_work(home, as_):
    from sourloam.ledger.lot_demand import ahead
    from sourloam.logbook.standing import state_of

    home.write("bran_received", {"lot": "may-1", "mass_kg": 1.0}, 40)
    state, today = state_of(home.id, home.place.zone)[0], dt.datetime.now(dt.UTC).date()
    assert stock_of(home).until == ahead(state, state.site(), today).runs_out


def test_the_use_of_late_is_told(home, as_):
    home.write("bran_received", {"lot": "may-1", "mass_kg": 0.82}, 100)
    found = stock_of(home)
    assert found.a_day_kg == pytest.approx(10 * 0.020 / 20, rel=0.06), "ten layers in twenty days"
    assert "Used in a week of late" in text(home, as_("keeper"))


def test_more_used_than_came_is_told_kindly(home, as_):
    home.write("bran_received", {"lot": "may-1", "mass_kg": 0.1}, 100)
    shown = text(home, as_("keeper"))
    assert "By the log no bran is left" in shown
    assert "a bag was not written down" in shown


def test_a_measure_weighed_once_counts_from_then_on(home, as_):
    client = as_("keeper")
    form = {"name": "Sieve", "measure:new": "measure", "size-way": "mass_kg:n1", "size-n": "0.85"}
    client.post(reverse("web:log", args=[home.id, "measure_set"]), form)
    body = home.place.entries.get(kind="measure_set", body__name="Sieve").body
    assert body["mass_kg"] == 0.85
    assert body["measure"].startswith("measure-")
    assert "850 g" in text(home, client)
    assert "Sieve" in client.get(reverse("web:vessel", args=[home.id, "blue"])).content.decode()


def test_a_lot_is_an_id_made_of_what_was_typed(home, as_):
    form = {"lot:slug": "Mühle, May 2", "mass_kg:n1": "2"}
    as_("keeper").post(reverse("web:log", args=[home.id, "bran_received"]), form)
    assert home.place.entries.get(kind="bran_received").body["lot"] == "muhle-may-2"


def test_a_reader_sees_the_cupboard_and_changes_nothing(home, as_):
    shown = text(home, as_("reader"))
    assert "Bowlful" in shown
    assert "data-entry" not in shown


def test_bags_are_drawn_and_it_says_how_it_was_reckoned(home, as_):
    client = as_("keeper")
    assert "How do we know?" not in text(home, client), "nothing is known of bran yet"
    home.write("bran_received", {"lot": "oak-1", "mass_kg": 2.0}, 5)
    shown = text(home, client)
    assert 'aria-label="oak-1: in store' in shown
    known = shown[shown.index("How do we know?") :]
    assert "the layers of the last 28 days" in known
    assert "What moves that day most" in known
