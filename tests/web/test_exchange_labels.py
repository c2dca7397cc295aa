"""Labels printed by command open the vessel's page."""

import pytest
from django.urls import reverse

from sourloam.documents.qr import said_by
from sourloam.web import short


@pytest.mark.parametrize("code", ["short", ""])
def test_a_printed_code_opens_its_vessel(home, as_, code):
    printed = said_by(
        "http://testserver", "Blue pail", "Flat", short.code(home.id, "blue") if code else ""
    )
    answer = as_("reader").get(printed.removeprefix("http://testserver"))
    assert answer.url == reverse("web:vessel", args=[home.id, "blue"])


def test_a_name_that_two_vessels_share_leads_to_their_shelf(home, as_):
    spec = {"name": "pail", "volume": "19 L"}
    home.write("vessel_added", {"vessel": "blue-2", "name": "Blue  Pail!", "spec": spec})
    client = as_("reader")
    answer = client.get(reverse("web:label", args=["blue-pail"]))
    assert answer.url == reverse("web:shelf", args=[home.id])
    assert "choose yours" in client.get(answer.url).content.decode()


def test_a_label_of_nobody_known_is_not_found(home, as_):
    assert as_("reader").get(reverse("web:label", args=["no-such"])).status_code == 404
