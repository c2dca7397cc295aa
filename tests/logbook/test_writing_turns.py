"""Those who wait for one another are written together, and each gets its own answer."""

import contextlib
import threading
import time
from types import SimpleNamespace

import pytest
from django.db import IntegrityError, OperationalError

from sourloam.logbook import turns
from sourloam.logbook.turns import Turns


@pytest.fixture
def begun(monkeypatch):
    """Transactions that were begun; no store is asked."""
    said = []

    @contextlib.contextmanager
    def atomic():
        said.append("begin")
        yield

    monkeypatch.setattr(turns, "transaction", SimpleNamespace(atomic=atomic))
    monkeypatch.setattr(turns, "connection", SimpleNamespace(in_atomic_block=False))
    return said


def waiting_together(queue, asked):
    """What each got who came while somebody else was writing."""
    got = {}

    def take(one):
        try:
            got[one] = queue.take(one)
        except Exception as error:
            got[one] = error

    threads = [threading.Thread(target=take, args=(one,)) for one in asked]
    with turns.one_at_a_time:
        for number, thread in enumerate(threads, start=1):
            thread.start()
            while len(queue._waiting) < number:
                time.sleep(0.001)
    for thread in threads:
        thread.join(timeout=10)
    return got


def test_those_who_wait_share_one_transaction_in_the_order_in_which_they_came(begun):
    written = []

    def write(asked):
        written.append(list(asked))
        return [one * 10 for one in asked]

    assert waiting_together(Turns(write), [3, 1, 2]) == {3: 30, 1: 10, 2: 20}
    assert written == [[3, 1, 2]]
    assert begun == ["begin"]


def test_who_is_at_fault_spoils_nobody_elses_entry(begun):
    def write(asked):
        if "bad" in asked:
            raise IntegrityError("the id is taken")
        return [one.upper() for one in asked]

    got = waiting_together(Turns(write), ["good", "bad", "better"])
    assert (got["good"], got["better"]) == ("GOOD", "BETTER")
    assert isinstance(got["bad"], IntegrityError)
    assert len(begun) == 4, "once together, then each alone"


def test_a_store_that_takes_nothing_is_asked_once_for_all(begun):
    def write(asked):
        raise OperationalError("database or disk is full")

    got = waiting_together(Turns(write), [1, 2, 3])
    assert all(isinstance(error, OperationalError) for error in got.values())
    assert begun == ["begin"]


def test_more_than_one_turn_holds_are_all_written(begun, monkeypatch):
    monkeypatch.setattr(turns, "_MOST", 2)
    got = waiting_together(Turns(lambda asked: [one + 1 for one in asked]), range(5))
    assert got == {0: 1, 1: 2, 2: 3, 3: 4, 4: 5}
    assert len(begun) == 3


def test_who_writes_already_does_not_wait_for_those_who_wait_for_them(begun, monkeypatch):
    monkeypatch.setattr(turns, "connection", SimpleNamespace(in_atomic_block=True))
    with turns.one_at_a_time:  # held by a thread that waits for the store
        assert Turns(lambda asked: [one + 1 for one in asked]).take(1) == 2
