"""Every page in both lights and both languages: no serious fault, and room for a thumb."""

import pytest
from house_of_tests import entry
from visiting import DESK, PHONE, Visit

INSIDE = (
    *("", "beds", "set-up", "people", "place", "stores", "labels", "v/blue", "v/green", "v/tin"),
    *("v/blue/rescue", "b/wall/rescue", "v/blue/rescue?begun=1&seen=rotten_smell"),
    *("v/blue/rescue?begun=1&seen=rotten_smell&enough=1", "v/no-such-vessel"),
    *("lots", "lots/may-1", "achieved", "exchange", "calendar"),
)
OF_PERSON = (
    *("/", "/settings", "/new", "/new/from-file", "/try", "/offline"),
    *("/no/such/page", "/join/no-such-link"),
)
OUTSIDE = ("/enter", "/no/such/page", "/join/no-such-link")


@pytest.fixture
def house(house):
    """The place with a lot of bran."""
    from django.contrib.auth.models import User

    from sourloam.logbook.recording import record_entry

    raw = entry(house.pk, "bran_received", {"lot": "may-1", "mass_kg": 2.0}, 5)
    assert record_entry(User.objects.get(), raw).stored
    return house


def addresses(house):
    drained = house.entries.filter(kind="drained").first()
    inside = [f"/p/{house.pk}/{path}" for path in (*INSIDE, f"entry/{drained.pk}")]
    return [*OF_PERSON, *inside]


def faults(page, address, paths):
    from axe_playwright_python.sync_playwright import Axe

    found = []
    for path in paths:
        page.goto(address + path)
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        for fault in Axe().run(page).response["violations"]:
            if fault["impact"] in ("serious", "critical"):
                nodes = [node["html"][:120] for node in fault["nodes"][:3]]
                found.append((path, fault["id"], nodes))
    return found


@pytest.mark.parametrize(
    ("scheme", "language"), [("light", "en-GB"), ("dark", "es-ES")], ids=["light", "dark"]
)
def test_no_page_has_a_serious_fault(chromium, house, live_server, scheme, language):
    size = PHONE if scheme == "dark" else DESK
    visit = Visit(chromium, live_server.url, size, language=language, color_scheme=scheme)
    assert faults(visit.page, live_server.url, OUTSIDE) == []
    visit.sign_in()
    assert faults(visit.page, live_server.url, addresses(house)) == []
    visit.context.close()


SMALL = """() => [...document.querySelectorAll('a:not(.skip)')].filter(a => a.offsetParent)
.map(a => [a.textContent.trim(), a.getBoundingClientRect()])
.filter(([_, box]) => box.width < 24 || box.height < 24).map(([text, _]) => text)"""


def test_every_link_has_room_for_a_finger(on_phone, house):
    page = on_phone.page
    small = {}
    for path in addresses(house):
        page.goto(on_phone.url + path)
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        found = page.evaluate(SMALL)
        if found:
            small[path] = found
    assert small == {}


THIN = """() => [...document.querySelectorAll('main button, main .button')]
.filter(b => b.offsetParent && b.getBoundingClientRect().height < 48)
.map(b => b.textContent.trim())"""


def test_every_button_has_room_for_a_glove(on_phone, house):
    page = on_phone.page
    thin = {}
    for path in addresses(house):
        page.goto(on_phone.url + path)
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        found = page.evaluate(THIN)
        if found:
            thin[path] = found
    assert thin == {}
