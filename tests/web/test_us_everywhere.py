"""A keeper in US units walks all pages: no kilogram, litre, metre or degree Celsius is left."""

import re

import pytest
from django.urls import reverse

METRIC = re.compile(
    r"(?<![\w.])\d[\d.,\u00a0]*(?: – \d[\d.,\u00a0]*)?\s?(?:kg|g|mL|L|cm|mm|m|m²|km|°C)(?![\w²/])"
)
TWICE = re.compile(r"\((?:about )?[\d.,]+ (?:g|mL|kg|L|cm)\)")  # beside the US amount, for scales
PATHS = (
    *("", "beds", "set-up", "people", "place", "stores", "labels", "v/blue", "v/green", "v/tin"),
    *("v/blue/rescue", "b/wall/rescue", "v/blue/rescue?begun=1&seen=rotten_smell&enough=1"),
    *("lots", "lots/may-1", "exchange", "calendar", "tokens", "away", "sow?crop=lettuce"),
)
OWN = ("/", "/settings", "/new", "/new?kind=school", "/find?q=blue", "/try?units=us")


@pytest.fixture
def keeper(home, as_):
    from sourloam.logbook.models import Preference

    home.write("bran_received", {"lot": "may-1", "mass_kg": 2.0}, 5)
    home.write("weighed", {"vessel": "green", "mass_kg": 9.0}, 4)
    home.write("warmth_read", {"vessel": "blue", "temperature_c": 18.0}, 2)
    person = home.people["coordinator"]
    Preference.objects.update_or_create(person=person, defaults={"units": "us"})
    return as_("coordinator")


def left_metric(client, path):
    answer = client.get(path, follow=True)
    assert answer.status_code == 200, path
    text = answer.content.decode().partition("<main")[2]
    text = re.sub(r"<option.*?</option>|<ol class=\"sources\">.*?</ol>", " ", text, flags=re.S)
    words = re.sub(r"<[^>]+>", " ", text).replace("&nbsp;", " ").replace("19 L pail", "pail")
    return sorted({found.group(0) for found in METRIC.finditer(TWICE.sub("", words))})


@pytest.mark.slow
def test_no_metric_amount_is_left_on_any_page(home, keeper):
    paths = [*OWN, *(f"{reverse('web:shelf', args=[home.id])}{path}" for path in PATHS)]
    found = {path: left for path in paths if (left := left_metric(keeper, path))}
    assert found == {}


def test_the_test_would_see_one():
    assert METRIC.findall("about 3.5 kg of it, 20 °C, 180 mL and 1.2 – 3 L") != []
    assert METRIC.findall("7.7 lb, 68 °F, 6 fl oz, 3 layers, pH 4.4, May 3") == []
