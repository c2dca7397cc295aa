"""Playing with two vessels: by pointer, by keys, without script, on a phone, for every eye."""

import pytest
from visiting import DESK, PHONE, Visit, until

from sourloam.web.try_it.model import reckon
from sourloam.web.try_it.settings import BODIES, DAYS, usual

PLAY = ("/try?b_opened=6&b_meat=40&day=50", "/try?body=jar&b_bran=0&day=3&moves=1", "/try?day=hot")
SMALL = """() => [...document.querySelectorAll('main a, main button, main input, main select')]
.filter(e => e.offsetParent && e.getBoundingClientRect().height < 24).map(e => e.outerHTML)"""


CUT_OFF = """() => [...document.querySelectorAll('svg.drawing text')].filter(e => {
  const r = e.closest('svg').getBoundingClientRect(), b = e.getBoundingClientRect();
  return b.left < r.left - 1 || b.right > r.right + 1;
}).map(e => e.textContent)"""
TINY = """() => [...document.querySelectorAll('svg.drawing text')].filter(e =>
  parseFloat(getComputedStyle(e).fontSize) * e.getScreenCTM().a < 12).map(e => e.textContent)"""
UNSEEN = """() => [...document.querySelectorAll('.offers a')].filter(e =>
  e.getBoundingClientRect().right > innerWidth).map(e => e.textContent)"""


@pytest.fixture(scope="module", autouse=True)
def readied():
    """The model is loaded before anybody waits for it."""
    return [reckon(usual(body)) for body in BODIES]


@pytest.fixture
def player(chromium, house, live_server):
    """Somebody who never signed in."""
    made = []

    def visit(size=DESK, path="/try", **context):
        one = Visit(chromium, live_server.url, size, service_workers="block", **context)
        made.append(one)
        one.page.goto(live_server.url + path)
        return one

    yield visit
    for one in made:
        one.context.close()


def sentence(page):
    return page.inner_text("#try-says")


def settled(page):
    until(page, "!document.getElementById('try').hasAttribute('aria-busy')")


def move(page, name, value):
    """As a hand does: the slider ends elsewhere, and says so."""
    page.locator(f"#{name}").evaluate(
        "(field, value) => { field.value = value;"
        " field.dispatchEvent(new Event('input', {bubbles: true})); }",
        value,
    )


def test_a_slider_answers_at_once_and_the_address_keeps_it(player):
    one = player(path="/try?day=35")
    page = one.page
    assert "alike" in sentence(page)
    move(page, "b_warmth", "8")
    until(page, "document.getElementById('try-says').textContent.includes('Colder by 12')")
    assert page.inner_text("output[for='b_warmth']") == "8 °C"
    assert page.get_attribute("#b_warmth", "aria-valuetext") == "8 °C"
    until(page, "location.search === '?b_warmth=8'")
    assert page.get_attribute(".offers a >> nth=0", "aria-current") == "true"
    page.reload()
    assert "Colder by 12 °C" in sentence(page)
    assert one.trouble == []
    assert all(address.startswith(one.url) for address in one.asked)


def test_keys_move_a_slider(player):
    page = player().page
    page.focus("#b_bran")
    page.keyboard.press("ArrowLeft")
    until(page, "document.getElementById('try-says').textContent.includes('Less bran')")
    assert page.get_attribute("#b_bran", "aria-valuetext") == "15 g per kg"
    gone = page.inner_text("output[for='b_warmth']")
    assert gone == "20 °C", "the difference of the opening gave way"


def test_playing_shows_each_day_and_stops_at_the_last(player):
    page = player(path="/try?b_warmth=8&day=50").page
    page.click("#play")
    until(page, "document.getElementById('day').value === '56'")
    until(page, "document.querySelector('#play').ariaPressed === 'false'")
    until(
        page, "document.querySelector('.stand[data-side=b] title').textContent.includes('day 56')"
    )
    assert page.inner_text("#day-said") == "56"
    shift = page.get_attribute(".pair .d-today >> nth=0", "transform")
    assert shift.startswith("translate(")


def test_a_day_is_drawn_where_the_day_slider_stops(player):
    page = player(path="/try?b_warmth=8").page
    move(page, "day", "2")
    caption = "document.querySelector('.stand[data-side=a] figcaption').textContent"
    until(page, f"{caption}.startsWith('1 layer')")


def test_with_less_motion_playing_goes_by_weeks(player):
    page = player(path="/try?b_warmth=8&day=30", reduced_motion="reduce").page
    page.click("#play")
    until(page, "document.getElementById('day').value === '37'")
    page.click("#play")
    assert page.get_attribute("#play", "aria-pressed") == "false"


def test_what_moves_it_most_comes_when_opened(player):
    page = player().page
    assert page.locator("#moves li").count() == 0
    page.click("#moves > summary")
    until(page, "document.querySelectorAll('#moves li').length === 3")
    page.click("#moves li a >> nth=0")
    assert "alike" not in sentence(page)


def test_without_script_a_button_answers(player):
    page = player(path="/try?day=35", java_script_enabled=False).page
    assert page.locator("#play").is_hidden()
    page.select_option("#b_pieces", "whole")
    page.click("text=Reckon anew")
    assert "Coarser pieces" in sentence(page)
    assert "b_pieces=whole" in page.url


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_nothing_is_wider_than_the_screen_nor_too_small_to_hit(player, size):
    page = player(size, PLAY[0]).page
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= size["width"]
    assert page.evaluate(SMALL) == []
    assert page.evaluate(UNSEEN) == []
    assert page.evaluate(TINY) == []
    page.evaluate("day.value = day.max; day.dispatchEvent(new Event('input', {bubbles: true}))")
    last = f"day {DAYS['pail']}"
    until(page, f"document.querySelector('.pair .d-today + text').textContent === '{last}'")
    assert page.evaluate(CUT_OFF) == []


@pytest.mark.parametrize(
    ("size", "scheme", "language"), [(PHONE, "dark", "en-GB"), (DESK, "light", "es-ES")]
)
def test_no_fault_for_any_eye_or_ear(player, size, scheme, language):
    from axe_playwright_python.sync_playwright import Axe

    one = player(size, language=language, color_scheme=scheme)
    for path in PLAY:
        one.page.goto(one.url + path)
        one.page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        settled(one.page)
        found = Axe().run(one.page).response["violations"]
        said = [(f["id"], [node["html"][:160] for node in f["nodes"][:3]]) for f in found]
        assert said == [], path
