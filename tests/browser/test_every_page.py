"""Every page in both lights and both languages: no serious fault, room for a thumb, nothing that
sticks out or comes from outside."""

import pytest
from house_of_tests import entry
from visiting import DESK, PHONE, Visit

INSIDE = (
    *("", "beds", "set-up", "people", "place", "stores", "labels", "v/blue", "v/green", "v/tin"),
    *("v/blue/rescue", "b/wall/rescue", "v/blue/rescue?begun=1&seen=rotten_smell"),
    *("v/blue/rescue?begun=1&seen=rotten_smell&enough=1", "v/no-such-vessel"),
    *("lots", "lots/may-1", "achieved", "exchange", "calendar", "tokens"),
    *("away", "sow", "sow?crop=lettuce"),
)
OF_PERSON = (
    *(
        "/",
        "/find",
        "/find?q=lettuce",
        "/settings",
        "/new",
        "/new?kind=school",
        "/new/from-file",
        "/try",
        "/offline",
    ),
    *("/no/such/page", "/join/no-such-link"),
)
OUTSIDE = ("/enter", "/no/such/page", "/join/no-such-link")


@pytest.fixture
def house(house):
    """The place with a lot of bran."""
    from django.contrib.auth.models import User

    from sourloam.logbook import programmes
    from sourloam.logbook.recording import record_entry

    raw = entry(house.pk, "bran_received", {"lot": "may-1", "mass_kg": 2.0}, 5)
    assert record_entry(User.objects.get(), raw).stored
    made = programmes.make_programme(User.objects.get(), "Town exchange")
    made.latitude, made.longitude = 52.0, 5.0
    made.save()
    there = programmes.add_place(User.objects.get(), made, house.pk)
    there.latitude, there.longitude = 52.01, 5.01
    there.save()
    programmes.plan_for(made, programmes.today(made))
    return house


def addresses(house):
    drained = house.entries.filter(kind="drained").first()
    inside = [f"/p/{house.pk}/{path}" for path in (*INSIDE, f"entry/{drained.pk}")]
    return [*OF_PERSON, *inside, *of_programme(house)]


def of_programme(house):
    from sourloam.logbook.models import Programme

    found = f"/g/{Programme.objects.get().pk}"
    parts = ("", "places", f"p/{house.pk}", "round", "log", "figures", "settings")
    return [*(f"{found}/{part}" for part in parts), "/programmes"]


SMALL = """() => [...document.querySelectorAll('a:not(.skip)')].filter(a => a.offsetParent)
.map(a => [a.textContent.trim(), a.getBoundingClientRect()])
.filter(([_, box]) => box.width < 44 || box.height < 47).map(([text, _]) => text)"""
THIN = """() => [...document.querySelectorAll('main button, main .button, main summary')]
.filter(b => b.offsetParent && b.getBoundingClientRect().height < 48)
.map(b => b.textContent.trim())"""

DAILY = ".slips button, .slips .button, .verbs summary, .stepper button, .pills label, .mend > *"
CLOSE = """(daily) => {
const all = [...document.querySelectorAll(daily)].filter((part) => part.checkVisibility());
const boxes = all.map((part) => part.getBoundingClientRect()), near = [];
const gap = (a, b) => Math.max(
  a.left - b.right, b.left - a.right, a.top - b.bottom, b.top - a.bottom);
for (let n = 0; n < all.length; n++) for (let m = 0; m < n; m++)
  if (gap(boxes[n], boxes[m]) < 7.5) near.push(`${all[m].textContent} | ${all[n].textContent}`);
return near; }"""


def faults(page):
    from axe_playwright_python.sync_playwright import Axe

    answer = Axe().run(page, options={"resultTypes": ["violations"]}).response
    for fault in answer["violations"]:
        if fault["impact"] in ("serious", "critical"):
            yield fault["id"], [node["html"][:120] for node in fault["nodes"][:3]]


def cramped(page):
    """Links too small for a finger, buttons too thin for a glove."""
    for what, script in (("link", SMALL), ("button", THIN)):
        found = page.evaluate(script)
        if found:
            yield what, found
    near = page.evaluate(CLOSE, DAILY)
    if near:
        yield "less than 8 pixels apart", near[:5]


def wider_than_the_screen(page):
    """What sticks out at the side."""
    wide = page.evaluate("document.documentElement.scrollWidth")
    if wide > page.viewport_size["width"]:
        yield "width", wide


def wrong_on(page, address, paths, looks):
    """What the looks find, by page, with everything opened that opens."""
    wrong = {}
    for path in paths:
        page.goto(address + path)
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        found = [one for look in looks for one in look(page)]
        if found:
            wrong[path] = found
    return wrong


@pytest.mark.parametrize(
    ("scheme", "language", "size", "looks"),
    [
        pytest.param("light", "en-GB", DESK, [faults], id="light", marks=pytest.mark.slow),
        pytest.param("dark", "es-ES", PHONE, [faults, cramped, wider_than_the_screen], id="dark"),
    ],
)
def test_no_page_has_a_serious_fault_or_is_too_small_for_a_hand(
    chromium, house, live_server, scheme, language, size, looks
):
    visit = Visit(chromium, live_server.url, size, language=language, color_scheme=scheme)
    assert wrong_on(visit.page, live_server.url, OUTSIDE, [faults]) == {}
    visit.sign_in()
    assert wrong_on(visit.page, live_server.url, addresses(house), looks) == {}
    outside = [u for u in visit.asked if not u.startswith((visit.url, "blob:", "data:"))]
    assert outside == []
    assert [said for said in visit.trouble if "404" not in said] == []
    visit.context.close()
