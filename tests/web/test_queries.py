"""No page asks the store more than a dozen times, however much stands there."""

import pytest
from django.urls import reverse

MOST = 12
PAGES = ("today", "shelf", "vessel", "beds", "stores", "setup", "people", "correct")


@pytest.mark.parametrize("name", PAGES)
def test_a_page_takes_at_most_a_dozen_questions(home, as_, name, django_assert_max_num_queries):
    from sourloam.logbook import standing

    raw = home.write("drained", {"vessel": "blue", "volume_ml": 90.0}, 1)
    args = {"today": [], "vessel": [home.id, "blue"], "correct": [home.id, raw["id"]]}
    path = reverse(f"web:{name}", args=args.get(name, [home.id]))
    client = as_("coordinator")
    standing.forget()
    with django_assert_max_num_queries(MOST):
        assert client.get(path).status_code == 200
