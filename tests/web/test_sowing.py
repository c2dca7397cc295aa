"""When a crop may be sown: the day, its range, the picture, and who says so."""

import re

import pytest
from django.urls import reverse


def asked(client, home, crop):
    return client.get(reverse("web:sowing", args=[home.id]), {"crop": crop}).content.decode()


@pytest.mark.parametrize("crop", ["lettuce", "tomato"])
def test_the_heading_is_the_day_and_the_sources_are_behind_it(home, as_, crop):
    text = asked(as_("reader"), home, crop)
    assert re.search(rf"<h1>{crop.capitalize()}: (sow from|you may sow now)", text)
    assert "How do we know?" in text
    assert "Who says how warm: " in text
    assert "<svg" in text.partition("How do we know?")[0]


def test_a_trench_at_work_is_later_than_the_bed(home, as_):
    text = asked(as_("reader"), home, "lettuce")
    assert "On the trench that still works" in text
    assert "Wall bed" in text.partition("On the trench that still works")[2]


def test_no_crop_is_a_question_and_so_is_an_unknown_one(home, as_):
    for crop in ("", "motor oil", "<script>"):
        assert "What do you want to sow?" in asked(as_("reader"), home, crop)


def test_the_beds_lead_there(home, as_):
    text = as_("reader").get(reverse("web:beds", args=[home.id])).content.decode()
    assert reverse("web:sowing", args=[home.id]) in text
