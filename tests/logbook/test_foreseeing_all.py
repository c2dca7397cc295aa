"""Foreseeing everything: what is done stays done, and what fails does not stop the others."""

import multiprocessing
import os
import time

import pytest
from logbook_cast import raw

from sourloam.logbook import foreseeing_all
from sourloam.logbook.models import PlaceNow
from sourloam.logbook.recording import record_entry


@pytest.fixture
def marked(cast):
    for place, person in ((cast.home, cast.coordinator), (cast.other, cast.stranger)):
        body = {"vessel": "blue", "amount": {"mass_kg": 1.0}}
        assert record_entry(person, raw(place.pk, "fed", body)).stored
    return cast


def quiet(_said, _share):
    pass


def test_what_waits_is_done_once_and_told(marked):
    said = []
    done = foreseeing_all.foresee_all(1, lambda text, share: said.append((text, share)))
    assert done.places == 2
    assert said[-1] == ("2 of 2 places, 0 vessels", 1.0)
    assert foreseeing_all.foresee_all(1, quiet).places == 0
    assert foreseeing_all.foresee_all(1, quiet, everything=True).places == 2


def test_one_place_that_fails_keeps_its_mark_and_the_others_go_on(marked, monkeypatch):
    from sourloam.logbook import renewing

    real = renewing.renew

    def broken(place, members):
        if place == marked.home.pk:
            raise RuntimeError("no memory")
        return real(place, members=members)

    monkeypatch.setattr(renewing, "renew", broken)
    done = foreseeing_all.foresee_all(1, quiet)
    assert done.troubles == {marked.home.pk: "RuntimeError: no memory"}
    assert PlaceNow.objects.get(pk=marked.home.pk).done_seq == 0
    assert PlaceNow.objects.get(pk=marked.other.pk).done_seq == 1
    monkeypatch.setattr(renewing, "renew", real)
    assert foreseeing_all.foresee_all(1, quiet).places == 1


def test_a_process_that_dies_is_replaced_and_its_place_asked_again(monkeypatch):
    from concurrent.futures.process import BrokenProcessPool

    asked = []

    def handed_out(places, _processes, _members):
        asked.append(list(places))
        yield places[0], (2, "")
        if len(asked) == 1:
            raise BrokenProcessPool("killed")
        for place in places[1:]:
            yield place, (1, "")

    monkeypatch.setattr(foreseeing_all, "_handed_out", handed_out)
    done = foreseeing_all.Foreseen()
    foreseeing_all._spread(["a", "b", "c"], 2, 100, done, quiet)
    assert asked == [["a", "b", "c"], ["b", "c"]]
    assert (done.places, done.vessels, done.troubles) == (3, 5, {})


def test_work_that_is_broken_off_leaves_no_process_behind(monkeypatch):
    monkeypatch.setattr(foreseeing_all, "_start", os.getpid)
    before, began = multiprocessing.active_children(), time.monotonic()

    def broken_off():
        with foreseeing_all._pool(1) as pool:
            pool.submit(time.sleep, 60.0)
            assert len(multiprocessing.active_children()) > len(before)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        broken_off()
    assert time.monotonic() - began < 30
    assert multiprocessing.active_children() == before
