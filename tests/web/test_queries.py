"""No page asks the store more than a dozen times, however much stands there."""

import pytest
from django.urls import reverse

MOST = 12
PAGES = (
    *("today", "shelf", "vessel", "beds", "stores", "setup", "people", "correct", "labels"),
    *(
        "lots",
        "lot",
        "achieved",
        "exchange",
        "calendar",
        "change_place",
        "tokens",
        "rescue",
        "rescue_bed",
    ),
)


@pytest.mark.parametrize("name", PAGES)
def test_a_page_takes_at_most_a_dozen_questions(home, as_, name, django_assert_max_num_queries):
    from sourloam.logbook import standing

    raw = home.write("drained", {"vessel": "blue", "volume_ml": 90.0}, 1)
    home.write("bran_received", {"lot": "may-1", "mass_kg": 2.0}, 5)
    args = {
        "today": [],
        "vessel": [home.id, "blue"],
        "rescue": [home.id, "blue"],
        "rescue_bed": [home.id, "wall"],
        "lot": [home.id, "may-1"],
        "correct": [home.id, raw["id"]],
    }
    path = reverse(f"web:{name}", args=args.get(name, [home.id]))
    client = as_("coordinator")
    if name == "achieved":
        client.get(path)  # the first look orders the answer, which is written down
    standing.forget()
    with django_assert_max_num_queries(MOST):
        assert client.get(path).status_code == 200
