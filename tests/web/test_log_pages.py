"""A long log is read page by page, the newest first."""

import re

import pytest
from django.urls import reverse

from sourloam.web.vessel import page as vessel_page

LINES = re.compile(r'<span class="when">')


@pytest.fixture
def ask(home, as_, monkeypatch):
    monkeypatch.setattr(vessel_page, "_LOG_PAGE", 5)
    monkeypatch.setattr(vessel_page, "_LOG_SHOWN", 3)
    client, page = as_("reader"), reverse("web:vessel", args=[home.id, "blue"])
    return lambda query="": client.get(page + query)


def test_every_line_of_the_log_stands_on_one_of_its_pages_once(ask):
    whole = ask("?log=1").content.decode()
    many = int(re.search(r"1 to 5 of (\d+), the newest first", whole)[1])
    seen, number = 0, 1
    while number:
        response = ask(f"?log={number}")
        seen += len(response.context["log"])
        assert len(response.context["log"]) <= 5
        number = response.context["log_older"]
    assert seen == many > 10


def test_the_page_itself_shows_the_newest_lines_and_leads_to_all(ask):
    response = ask()
    assert len(LINES.findall(response.content.decode())) == 3
    assert 'href="?log=1#the-log"' in response.content.decode()
    assert response["X-Keep"] == "1"


@pytest.mark.parametrize("asked", ["all", "0", "-3", "99999", "1e9", "%00"])
def test_whatever_page_is_asked_there_is_one(ask, asked):
    response = ask(f"?log={asked}")
    assert response.status_code == 200
    assert response.context["log"]
