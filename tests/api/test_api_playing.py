"""What if, a calendar and labels, for programs."""

import json

from program import problem_of


def test_two_vessels_are_followed_side_by_side(home, program):
    answer = program("read").post("/trials", {"body": "jar", "b": {"warmth": 6}})
    assert answer.status_code == 200, answer.content
    found = json.loads(answer.content)
    assert found["changed"] == ["warmth"]
    for side in (found["a"], found["b"]):
        assert len(side["newest_ph"]) == len(side["liquid"]) == 28
        assert side["failing"]["low"] <= side["failing"]["median"] <= side["failing"]["high"]
    last = [found[side]["newest_ph"][-1]["median"] for side in "ab"]
    assert last[1] > last[0]  # the cold one sours later


def test_a_setting_that_can_not_be_is_told(home, program):
    for wrong in ({"warmth": 90}, {"mix": "gravel"}, {"colour": "blue"}):
        problem = problem_of(program("read").post("/trials", {"a": wrong}))
        assert problem["status"] == 422
        assert next(iter(wrong)) in problem["detail"]


def test_the_calendar_tells_what_is_due(home, program):
    answer = program("read").get("calendar.ics?language=es")
    assert answer.headers["Content-Type"] == "text/calendar"
    text = answer.content.decode()
    assert text.startswith("BEGIN:VCALENDAR")
    assert text.count("BEGIN:VEVENT") >= 1


def test_labels_are_printed_for_the_vessels_that_stand_there(home, program):
    answer = program("read").get("labels.pdf?width_mm=60&height_mm=30&skip=2")
    assert answer.status_code == 200, answer.content
    assert answer.content.startswith(b"%PDF")
