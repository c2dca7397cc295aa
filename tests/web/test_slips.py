"""What is due, as slips: kind, brief, and honest about what one tap writes."""

import dataclasses
import datetime as dt
import json

from sourloam.ledger.sentences import Sentence
from sourloam.ledger.state import PlaceState
from sourloam.ledger.work import Due
from sourloam.web.place.slips import by_day, later, now, slips, to_do, visits

PLACE = PlaceState()
TODAY = dt.date(2026, 11, 25)


def due(what, kind, vessel="blue", urgency="today", on=TODAY, **more):
    return Due(
        what=what,
        on=on,
        urgency=urgency,
        why=Sentence.of("About %(expected_ml)s has gathered.", expected_ml=180.0),
        kind=kind,
        body={"vessel": vessel},
        thing=("vessel", vessel),
        name="Blue pail",
        **more,
    )


def made(*dues, units="metric"):
    return slips(visits(dues), "home", units, PLACE)


def test_a_forecast_never_becomes_an_observation_by_one_tap():
    (slip,) = made(due("drain", "drained", expected_ml=180.0))
    assert slip.body == ""


def test_what_asks_nothing_is_done_by_one_tap():
    (slip,) = made(due("wash", "washed"))
    assert json.loads(slip.body) == {"vessel": "blue"}


def test_what_asks_something_is_not_done_by_one_tap():
    (slip,) = made(due("check", "judged", asks=("verdict",)))
    assert slip.body == ""


def test_one_visit_is_one_slip_and_a_look_comes_with_other_work():
    found = made(due("check", "looked"), due("drain", "drained"), due("feed", "fed"))
    assert len(found) == 1
    assert found[0].kind == "drained"
    assert [one.what for one in found[0].also] == ["Feed Blue pail"]


def test_a_vessel_likely_to_fail_is_never_well_by_one_tap():
    look = due("check", "looked", asks=("signs",))
    (slip,) = made(look)
    assert (slip.body, slip.open) == ("", "Write what you see")
    (visit,) = made(look, due("feed", "fed"))
    assert [one.what for one in visit.also] == ["Look at Blue pail"]


def test_vessels_are_not_run_together():
    assert len(made(due("wash", "washed"), due("wash", "washed", "green"))) == 2


def test_amounts_follow_the_readers_units():
    (slip,) = made(due("drain", "drained", expected_ml=180.0), units="us")
    assert "US fl oz" in slip.what
    assert "US fl oz" in slip.why


def test_what_is_soon_stands_under_its_day():
    soon = due("wash", "washed", urgency="soon", on=TODAY + dt.timedelta(days=3))
    found = visits([due("feed", "fed", "green"), soon])
    assert [first.kind for first, *_ in now(found)] == ["fed"]
    ((day, some),) = by_day(slips(later(found), "home", "metric", PLACE))
    assert day == TODAY + dt.timedelta(days=3)
    assert [slip.kind for slip in some] == ["washed"]


def many(number):
    return visits(due("wash", "washed", f"v{n}") for n in range(number))


def test_a_dozen_slips_lie_open_and_the_others_are_folded_with_their_number():
    few, more, most = (to_do(many(n), "home", "metric", PLACE) for n in (12, 30, 190))
    assert (len(few.open), few.folded, few.beyond) == (12, [], "")
    assert (len(more.open), len(more.folded), more.fold, more.beyond) == (12, 18, "18 more", "")
    assert (len(most.open), len(most.folded), most.fold) == (12, 28, "178 more")
    assert most.beyond.startswith("And 150 more")


def test_the_same_again_says_how_much():
    layer = {"vessel": "blue", "amount": {"mass_kg": 1.5}, "bran_g": 30.0}
    fed = due("feed", "fed")
    (slip,) = made(dataclasses.replace(fed, body=layer))
    assert slip.again == "1.5 kg, bran 30 g"
