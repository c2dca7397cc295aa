"""Whatever is read is taken, or refused in one line: never a traceback, never for long."""

import time

import pytest
from breaking import LONGEST_S, inputs, tried
from fuzz_targets import TARGETS, sound

LONGEST_LINE = 4000


def checked(target):
    def check(data):
        begun = time.process_time()
        line = target(data)
        assert time.process_time() - begun < LONGEST_S
        assert "Traceback" not in line
        assert len(line) < LONGEST_LINE

    return check


@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.__name__)
def test_what_is_sound_is_taken(target):
    for data in sound(target.__name__):
        assert target(data) == ""


@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.__name__)
def test_whatever_comes_is_taken_or_refused_in_one_line(target, record_property):
    strategy = inputs(target.__name__, sound(target.__name__))
    record_property("tries", tried(strategy, checked(target), TARGETS[target]))


def test_five_thousand_inputs_are_tried():
    assert sum(TARGETS.values()) >= 5000
