"""What looks odd on the shelf says which vessel, which day, and leads to the entry."""

import datetime as dt

from django.urls import reverse

from sourloam.web import wording as w


def test_what_looks_odd_names_its_vessel_and_day_and_leads_to_its_form(home, as_):
    raw = home.write("washed", {"vessel": "blue"}, 2)
    form = reverse("web:correct", args=[home.id, raw["id"]])
    text = as_("keeper").get(reverse("web:shelf", args=[home.id])).content.decode()
    odd = text.partition("Looks odd")[2]
    day = w.day((dt.datetime.now(dt.UTC) - dt.timedelta(2)).date())
    assert f"Blue pail, {day}: It was washed while scraps were in it." in odd
    assert f'href="{form}"' in odd
    seen = as_("reader").get(reverse("web:shelf", args=[home.id])).content.decode()
    assert f'href="{form}"' not in seen, "a reader is led to the vessel, not to a form"
    assert reverse("web:vessel", args=[home.id, "blue"]) in seen.partition("Looks odd")[2]
