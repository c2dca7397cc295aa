"""Foreseeing on other machines: workers see no logbook, and one that is killed loses nothing."""

import datetime as dt
import os
import signal

import pytest
from logbook_bodies import BODIES
from logbook_cast import raw

from sourloam.logbook import foreseeing_away, renewing, standing
from sourloam.logbook.foreseeing import waiting
from sourloam.logbook.foreseeing_all import foresee_all
from sourloam.logbook.models import Forecast, PlaceNow, PlaceSaved, PlaceSummary
from sourloam.logbook.people import make_place
from sourloam.logbook.programmes import make_programme
from sourloam.logbook.recording import record_entry
from sourloam.programme import night

distributed = pytest.importorskip("distributed")
pytestmark = [
    pytest.mark.django_db,
    pytest.mark.filterwarnings("ignore:::distributed.*"),
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
]


def quiet(_said, _share):
    pass


def furnish(person, place, layers=4):
    """A place with a vessel that has been fed on the days before today."""
    now = dt.datetime.now(dt.UTC)

    def write(kind, body, day):
        when = (now - dt.timedelta(days=day, hours=1)).isoformat()
        answer = record_entry(person, raw(place.pk, kind, body, at=when, written_at=when))
        assert answer.stored, answer.detail

    write("place_described", BODIES["place_described"], 30)
    write("vessel_added", {**BODIES["vessel_added"], "vessel": "blue"}, 29)
    for day in range(2 * layers, 0, -2):
        write("fed", {"vessel": "blue", "amount": {"mass_kg": 0.8}}, day)


@pytest.fixture
def furnished(cast):
    furnish(cast.coordinator, cast.home)
    return cast


@pytest.fixture(scope="module")
def here():
    """A scheduler and a worker in this process."""
    with (
        distributed.LocalCluster(
            n_workers=1,
            threads_per_worker=1,
            processes=False,
            dashboard_address=None,
            protocol="inproc://",
        ) as cluster,
        distributed.Client(cluster, set_as_default=False) as client,
    ):
        yield client


def forecasts():
    return dict(Forecast.objects.values_list("vessel", "summary"))


def test_workers_give_the_same_forecasts_as_this_machine(furnished, here):
    said = []
    todo = waiting(dt.datetime.now(dt.UTC))
    done = foreseeing_away.foresee_with(here, todo, lambda text, share: said.append((text, share)))
    assert (done.places, done.vessels, done.troubles) == (1, 1, {})
    assert said == [("1 of 1 places, 1 vessels", 1.0)]
    away = forecasts()
    assert waiting(dt.datetime.now(dt.UTC)) == []
    PlaceNow.objects.update(done_for=None, learned=None)
    Forecast.objects.all().delete()
    standing.forget()
    renewing.renew(furnished.home.pk)
    assert forecasts() == away


def test_what_a_programme_needs_comes_back_too(furnished, here):
    programme = make_programme(furnished.coordinator, "Alder Town exchange")
    from sourloam.logbook.programmes import add_place

    add_place(furnished.coordinator, programme, furnished.home.pk)
    PlaceSummary.objects.all().delete()
    foreseeing_away.foresee_with(here, [furnished.home.pk], quiet)
    assert PlaceSummary.objects.get().facts["kg_by_way"]["weighed"] == pytest.approx(3.2, rel=0.02)
    kept = PlaceSaved.objects.get()
    assert kept.seq == furnished.home.entries.count()
    assert set(kept.worlds) >= {"scraps_kg", "ferment", "landfill"}


def test_what_is_older_than_what_is_kept_is_not_kept(furnished):
    away = renewing.sent_away(furnished.home.pk)
    nothing = night.Done({"blue": {"stale": True}}, None, "", None, None)
    PlaceNow.objects.update(done_seq=away.seq + 1)
    assert renewing.keep(away.task, away.seq, nothing) == 0
    assert forecasts() == {}


def test_a_worker_of_another_version_is_told(furnished, here, monkeypatch):
    monkeypatch.setattr(night.sourloam, "__version__", "0.0.1")
    todo = [furnished.home.pk]
    task = renewing.sent_away(furnished.home.pk)
    other = night.Task(**{**vars(task.task), "version": "9.9.9"})
    monkeypatch.setattr(
        foreseeing_away,
        "sent_away",
        lambda _place, members: renewing.Away(other, task.log, task.seq),
    )
    done = foreseeing_away.foresee_with(here, todo, quiet)
    assert "give all machines one version" in done.troubles[furnished.home.pk]
    assert waiting(dt.datetime.now(dt.UTC)) == todo


def test_no_more_places_are_on_their_way_than_workers_want(cast, monkeypatch):
    class Client:
        loop = None

        def nthreads(self):
            return {"a": 1, "b": 1}

        def submit(self, _what, task, _log, **_how):
            return task

    out, most = set(), []

    class Back:
        def __init__(self, loop):
            self.rest = []

        def add(self, future):
            out.add(future)
            self.rest.append(future)
            most.append(len(out))

        def __next__(self):
            future = self.rest.pop(0)
            out.discard(future)
            return future

    monkeypatch.setattr(distributed, "as_completed", Back)
    monkeypatch.setattr(foreseeing_away, "_kept", lambda _future, _away: (1, ""))
    monkeypatch.setattr(
        foreseeing_away, "sent_away", lambda place, members: renewing.Away(place, b"", members)
    )
    places = [str(number) for number in range(40)]
    done = foreseeing_away.foresee_with(Client(), places, quiet)
    assert (done.places, done.vessels) == (40, 40)
    assert max(most) == 6


@pytest.mark.parametrize(
    ("address", "said"),
    [("nonsense://nowhere", "tcp://HOST:PORT"), ("tcp://127.0.0.1:9", "no scheduler answers")],
)
def test_an_address_where_nobody_answers_is_told_in_one_line(db, address, said, monkeypatch):
    monkeypatch.setattr(foreseeing_away, "_PATIENCE_S", 0.5)
    with pytest.raises(foreseeing_away.AwayError, match=said) as no:
        foresee_all(1, quiet, workers=address)
    assert "\n" not in str(no.value)


def test_without_the_library_one_line_says_what_to_install(db, monkeypatch):
    import sys

    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(foreseeing_away.AwayError, match=r"sourloam\[machines\]"):
        foresee_all(1, quiet, workers="tcp://127.0.0.1:8786")


@pytest.mark.slow
def test_a_worker_that_is_killed_loses_nothing(cast):
    places = [make_place(cast.coordinator, f"Flat {number}") for number in range(8)]
    for place in places:
        furnish(cast.coordinator, place, layers=8)
    killed = []
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1"
        ) as cluster,
        distributed.Client(cluster, set_as_default=False) as client,
    ):

        def report(_said, _share):
            if not killed:
                killed.append(min(client.run(os.getpid).values()))
                os.kill(killed[0], signal.SIGKILL)

        done = foreseeing_away.foresee_with(client, [place.pk for place in places], report)
    assert killed
    assert (done.places, done.vessels, done.troubles) == (8, 8, {})
    assert Forecast.objects.count() == 8
    assert waiting(dt.datetime.now(dt.UTC)) == []
