"""The page of a burial draws the trench before it asks, and asks with what is due."""

import re

from django.urls import reverse


def ready(home):
    spec = {"name": "Plum bed", "length": "4 m", "width": "1.2 m"}
    home.write("bed_added", {"bed": "plum", "name": "Plum bed", "spec": spec}, 3)
    home.write("judged", {"vessel": "green", "verdict": "sound"}, 0.01)


def part(text, start):
    return text.partition(f'id="{start}"')[2].partition("</details>")[0]


def test_the_trench_is_drawn_before_the_form_that_it_fills(home, as_):
    ready(home)
    path = reverse("web:vessel", args=[home.id, "green"])
    asked = part(as_("keeper").get(path).content.decode(), "log-buried")
    before, _form, form = asked.partition("<form")
    assert before.count("<svg") >= 3, "the icon, the bed, the trench from the side"
    said = re.search(
        r"In Plum bed, (\S+)\s(c?m) from its beginning: dig \S+\sc?m long and \S+\scm deep", before
    )
    middle_m = float(said[1]) / (100 if said[2] == "cm" else 1)
    assert re.search(r'<select[^>]*>\s*<option value="plum"', form), "the bed that is due"
    assert float(re.search(r'id="f-along"[^>]* value="([\d.]+)"', form)[1]) == middle_m


def test_the_bed_that_is_due_shows_where_to_dig(home, as_):
    ready(home)
    text = as_("keeper").get(reverse("web:beds", args=[home.id])).content.decode()
    drawn = {
        bed: text.partition(f'id="bed-{bed}"')[2].partition("</svg>")[0] for bed in ("plum", "wall")
    }
    assert "dig here" in drawn["plum"]
    assert "dig here" not in drawn["wall"]


def test_where_nothing_is_due_the_usual_trench_is_asked_for(home, as_):
    path = reverse("web:vessel", args=[home.id, "green"])
    asked = part(as_("keeper").get(path).content.decode(), "log-buried")
    assert "to-dig" not in asked
    assert 'name="bed"' in asked
