"""What ten real tasks take on a phone, from the first page of today, as docs/tasks.md tells."""

import sys
from pathlib import Path

import pytest
from house_of_tests import entry
from visiting import PHONE, Visit

sys.path.insert(0, str(Path(__file__).parents[2] / "tools"))

from ten_tasks import TASKS, Scene, Walk, first_set_up, told

pytestmark = pytest.mark.slow
AT_MOST = {  # taps, fields, pages, swipes, with one place
    "log a layer of another amount": (3, 0, 1, 2),
    "holiday next week": (2, 0, 2, 1),
    "the smell is odd": (4, 0, 3, 1),
    "the same, typed": (3, 1, 3, 0),
    "where do I bury": (0, 0, 0, 2),
    "when may I sow lettuce": (2, 1, 2, 0),
    "how strong is this bran": (2, 0, 2, 1),
    "report for the council": (2, 0, 2, 1),
    "add a school": (3, 1, 3, 3),
    "move to a new phone": (1, 0, 1, 1),
}


@pytest.fixture
def house(house):
    """The place with a bag of bran, a vessel that is ready, and an answer of what it achieved."""
    import datetime as dt

    from django.contrib.auth.models import User

    from sourloam.logbook import achieving
    from sourloam.logbook.models import Place
    from sourloam.logbook.recording import record_entry
    from sourloam.web.place.achieved_form import question

    for kind, body, ago in (
        ("bran_received", {"lot": "may-1", "mass_kg": 2.0}, 5),
        ("judged", {"vessel": "green", "verdict": "sound"}, 1),
    ):
        assert record_entry(User.objects.get(), entry(house.pk, kind, body, ago)).stored
    home = Place.objects.get(pk=house.pk)
    achieving.ask(home.pk, home.last_seq, question({}, dt.date.today()))
    while achieving.reckon_next():
        pass
    return home


@pytest.mark.parametrize("language", ["en-GB", "es-ES"])
def test_ten_tasks_take_no_more_than_is_told(chromium, house, live_server, language):
    visit = Visit(chromium, live_server.url, PHONE, language=language, service_workers="block")
    visit.sign_in()
    scene = Scene(house.name, "Blue pail", "Green pail", "may-1", many=False)
    over = []
    for name, most in AT_MOST.items():
        visit.page.goto(live_server.url + "/")
        walk = Walk(visit.page)
        answer = TASKS[name](walk, scene)
        assert answer, name
        if any(n > bound for n, bound in zip(walk.told, most, strict=True)):
            over.append(told(name, walk, answer))
    visit.context.close()
    assert not over, "\n".join(over)


def test_the_first_set_up_takes_two_taps_and_two_words(
    request, chromium, transactional_db, live_server
):
    request.node.furnished = True
    page = chromium.new_page(viewport=PHONE)
    page.goto(live_server.url + "/")
    walk = Walk(page)
    assert first_set_up(walk, Scene("", "", "", "", many=False))
    page.close()
    assert walk.told[:3] == (2, 2, 2)
