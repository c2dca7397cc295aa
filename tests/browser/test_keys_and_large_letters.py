"""The pages by keys alone, by ear, and with letters of twice the size."""

import shutil

import pytest
from visiting import PHONE, Visit, newest

MOST_COVERED = 0.4
COVERED = """() => {
const kind = (part) => getComputedStyle(part).position;
const stays = (part) => part && (/fixed|sticky/.test(kind(part)) || stays(part.parentElement));
const rows = Array.from({ length: 40 }, (_, n) => (n + 0.5) * innerHeight / 40);
return rows.filter((y) => stays(document.elementFromPoint(innerWidth / 2, y))).length / 40; }"""


def test_by_keys_the_focus_stays_where_the_work_is(on_phone, house):
    page = on_phone.page
    page.locator(".slip", has_text="Wash Tin").locator("button.go").press("Enter")
    page.wait_for_selector("#said:has-text('Written down')")
    assert newest(house, "washed").body == {"vessel": "tin"}
    page.wait_for_timeout(300)
    assert page.evaluate("document.activeElement.matches('.slip a.what, h1')"), "the next one"
    page.locator(".slip a.what", has_text="Feed Blue pail").press("Enter")
    page.wait_for_selector("#log-fed[open]")
    page.wait_for_function("document.activeElement.matches('#log-fed > summary')")


def test_what_a_tap_asks_is_heard_and_withdrawn_when_somebody_turns_away(on_phone, house):
    page = on_phone.page
    on_phone.vessel(house)
    out = page.locator("button[data-sure]").first
    name = out.get_attribute("aria-label")
    assert name.startswith("Take out: Layer fed 1 × Bowlful"), name
    out.press("Enter")
    page.wait_for_selector(f'#heard:has-text("Really? {name}")', state="attached")
    assert out.inner_text() == "Really?"
    page.keyboard.press("Tab")
    assert (out.inner_text(), out.get_attribute("aria-label")) == ("Take out", name)
    assert house.entries.filter(kind="struck").count() == 0


@pytest.fixture
def large(chromium, house, live_server):
    """A phone whose reader has set letters of twice the usual size."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    twice = ["--blink-settings=defaultFontSize=32"]
    browser = chromium.browser_type.launch(executable_path=path, args=twice)
    made = Visit(browser, live_server.url, PHONE).come_in()
    yield made
    browser.close()


def test_with_large_letters_nothing_sticks_out_and_little_is_covered(large, house):
    page, wrong = large.page, {}
    assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == "32px"
    inside = ("", "beds", "set-up", "v/blue#log-fed", "v/blue/rescue")
    for path in ("/", "/find", *(f"/p/{house.pk}/{part}" for part in inside)):
        page.goto(large.url + path)
        wide = page.evaluate("document.documentElement.scrollWidth")
        page.evaluate("scrollTo(0, document.documentElement.scrollHeight / 3)")
        covered = page.evaluate(COVERED)
        if wide > PHONE["width"] or covered > MOST_COVERED:
            wrong[path] = wide, covered
    assert wrong == {}
