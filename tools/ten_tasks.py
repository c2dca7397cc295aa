"""Ten real tasks, done on a phone with nothing but the screen, and what each takes.

    python tools/ten_tasks.py --data KEPT [--language es-ES]

KEPT is a copy of a demo folder that nobody keeps yet; it is written into. Every task begins on
the first page of today. Counted are taps, fields typed into, pages that opened, and swipes of a
screen's height to what had to be tapped or read. The driver uses Debian's package chromium.
"""

from __future__ import annotations

import argparse
import math
import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

PHONE = {"width": 390, "height": 844}
PASSWORD = "a short sentence"
_ABOVE, _BELOW = 60, 70  # pixels that the beams cover, the lower where there is one
_TARGET = 48
_SWIPE = 0.8  # of a screen


@dataclass(frozen=True)
class Scene:
    """The place and things that the tasks are about; ``many`` where the reader has more places."""

    place: str
    vessel: str
    ready: str
    lot: str
    many: bool


@dataclass
class Walk:
    """A thumb on a phone: what it did, and how far it had to go."""

    page: Any
    taps: int = 0
    fields: int = 0
    pages: int = 0
    swipes: int = 0
    steps: list[str] = field(default_factory=list)

    def tap(self, what: str) -> None:
        """Tap the first thing that fits."""
        found = self.page.locator(what).locator("visible=true").first
        self._reach(found)
        at, said = self.page.url.partition("#")[0], _said(found)
        found.click()
        self.page.wait_for_load_state()
        self.page.wait_for_timeout(200)
        self.taps += 1
        self.pages += self.page.url.partition("#")[0] != at
        self.steps.append(said)

    def type(self, what: str, text: str) -> None:
        """Type into a field."""
        found = self.page.locator(what).first
        self._reach(found)
        found.fill(text)
        self.fields += 1
        self.steps.append(f"“{text}”")

    def read(self, what: str) -> str:
        """The answer, once it is in sight."""
        found = self.page.locator(what).locator("visible=true").first
        self._reach(found)
        return _said(found)

    def _reach(self, found: Any) -> None:
        found.wait_for(state="visible")
        if found.evaluate("one => one.closest('.lintel, .sill') !== null"):
            return  # the beams are always in sight
        box = found.bounding_box()
        below = _BELOW if self.page.locator("nav.sill").count() else 0
        room = self.page.viewport_size["height"] - below
        far = max(box["y"] + min(box["height"], _TARGET) - room, _ABOVE - box["y"], 0)
        if box["height"] and far > 0:
            self.swipes += math.ceil(far / (_SWIPE * room))
            found.scroll_into_view_if_needed()

    @property
    def told(self) -> tuple[int, int, int, int]:
        """Taps, fields, pages, swipes."""
        return self.taps, self.fields, self.pages, self.swipes


def _said(found: Any) -> str:
    text = found.get_attribute("aria-label") or found.inner_text()
    return " ".join(text.split())[:70]


def _unfolded(walk: Walk, scene: Scene) -> str:
    """Open the place among many; what its things are within."""
    if not scene.many:
        return ""
    within = f"details.house:has-text('{scene.place}')"
    if not walk.page.locator(within).evaluate("house => house.open"):
        walk.tap(f"{within} > summary")
    return within


def _asked(walk: Walk, scene: Scene, ending: str, thing: str = "") -> None:
    """A question of the page of questions, by where it leads: to a thing, or to the place."""
    walk.tap(".lintel .seek")
    if not scene.many:
        walk.tap(f".chip{ending}:has-text('{thing}')" if thing else f"main a{ending}")
        return
    chip = f".chip{ending}:has-text('{f'{thing}, {scene.place}' if thing else scene.place}')"
    walk.tap(f".found details:has({chip}) > summary")
    walk.tap(chip)


def a_layer(walk: Walk, scene: Scene) -> str:
    """Another amount than last time."""
    within = _unfolded(walk, scene)
    walk.tap(f"{within} .slip a.what[href$='log-fed']:has-text('{scene.vessel}')")
    walk.tap("#log-fed [data-step='0.5']")
    walk.tap("#log-fed .go")
    return walk.read("#said")


def a_holiday(walk: Walk, scene: Scene) -> str:
    """Next week nobody is there."""
    _asked(walk, scene, "[href$='/away']")
    return walk.read("h1")


def an_odd_smell(walk: Walk, scene: Scene) -> str:
    """One vessel smells rotten."""
    _asked(walk, scene, "[href$='/rescue']", scene.vessel)
    walk.tap(".signs label:has(input[value='rotten_smell'])")
    walk.tap(".done-row .go")
    return walk.read("h1")


def a_sign_typed(walk: Walk, scene: Scene) -> str:
    """What was smelled is typed, not looked for."""
    walk.tap(".lintel .seek")
    spanish = walk.page.get_attribute("html", "lang") == "es"
    walk.type("#q", "podrido" if spanish else "rotten")
    walk.tap(".search .go")
    name = f"{scene.vessel}, {scene.place}" if scene.many else scene.vessel
    walk.tap(f".found .chip[href$='seen=rotten_smell']:has-text('{name}')")
    return walk.read("h1")


def where_to_bury(walk: Walk, scene: Scene) -> str:
    """A vessel is ready."""
    within = _unfolded(walk, scene)
    return walk.read(f"{within} .slip:has(a[href$='log-buried']):has-text('{scene.ready}') .why")


def when_to_sow(walk: Walk, scene: Scene) -> str:
    """Lettuce."""
    walk.tap(".lintel .seek")
    spanish = walk.page.get_attribute("html", "lang") == "es"
    walk.type("#q", "lechuga" if spanish else "lettuce")
    walk.tap(".search .go")
    return walk.read(f".found li:has-text('{scene.place}') a[href$='crop=lettuce']")


def how_strong(walk: Walk, scene: Scene) -> str:
    """A bag of bran."""
    _asked(walk, scene, "[href*='/lots/']", scene.lot)
    return walk.read("h1")


def a_report(walk: Walk, scene: Scene) -> str:
    """For the council."""
    _asked(walk, scene, "[href$='/achieved']")
    walk.page.locator("a[href*='achieved.pdf']").first.wait_for(timeout=300_000)
    return walk.read("a[href*='achieved.pdf']")


def a_school(walk: Walk, scene: Scene) -> str:
    """It joins in."""
    walk.tap(".lintel .seek")
    walk.tap(".chip[href$='kind=school']")
    walk.type("#pname", "Lower Mill School")
    walk.page.evaluate("document.getElementById('stand').value = 4")  # what the answer fills in
    walk.tap("button[name=keep]")
    return walk.read("main > p")


def a_new_phone(walk: Walk, scene: Scene) -> str:
    """All of it on another device."""
    walk.tap(".lintel .far")
    return walk.read("#new-phone")


def first_set_up(walk: Walk, scene: Scene) -> str:
    """Nobody keeps the house yet."""
    walk.type("input[name=username]", "Ada")
    walk.type("input[name=password]", PASSWORD)
    walk.tap("form .go")
    walk.page.evaluate("document.getElementById('stand').value = 3")  # what the answer fills in
    walk.tap("button[name=keep]")
    return walk.read("main > p")


Task = Callable[[Walk, Scene], str]
TASKS: dict[str, Task] = {
    "log a layer of another amount": a_layer,
    "holiday next week": a_holiday,
    "the smell is odd": an_odd_smell,
    "the same, typed": a_sign_typed,
    "where do I bury": where_to_bury,
    "when may I sow lettuce": when_to_sow,
    "how strong is this bran": how_strong,
    "report for the council": a_report,
    "add a school": a_school,
    "move to a new phone": a_new_phone,
}


def told(name: str, walk: Walk, answer: str) -> str:
    """One line of the table, then the way."""
    figures = ", ".join(
        f"{n} {word}"
        for n, word in zip(walk.told, ("taps", "fields", "pages", "swipes"), strict=True)
    )
    return f"{name}: {figures}\n    {' > '.join(walk.steps)} > {answer}"


def _walked(browser: Any, url: str, language: str, scene: Scene) -> None:
    context = browser.new_context(viewport=PHONE, locale=language, service_workers="block")
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto(f"{url}/enter")
    page.fill("#name", "Ada")
    page.fill("#word", PASSWORD)
    page.click("form .go")
    page.wait_for_url(f"{url}/")
    for name, task in TASKS.items():
        page.goto(f"{url}/")
        walk = Walk(page)
        print(told(name, walk, task(walk, scene)), flush=True)
    context.close()


def main() -> None:
    """Walk through all of them in a copy of the demo."""
    from screenshots import PLACE, prepare, serve

    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--language", default="en-GB")
    given = parser.parse_args()
    os.environ |= {
        "SOURLOAM_DATA": str(given.data),
        "DJANGO_SETTINGS_MODULE": "sourloam.logbook.settings",
    }
    prepare()
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium") or shutil.which("chromium-browser")
    scene = Scene(PLACE, "19 L pail 2", "19 L pail 3", "alder-2610", many=True)
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path)
        _walked(browser, serve(), given.language, scene)
        browser.close()


if __name__ == "__main__":
    main()
