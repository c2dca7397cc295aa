"""Pictures of the main pages for the docs: phone and desk, light and dark.

    python tools/screenshots.py [FOLDER]      docs/figures/pages if not given
    python tools/screenshots.py FOLDER --only lots,lot --once --data KEPT     to look at a page

Starts a server of its own on a fresh data folder with the demo's season and its programme, or on
KEPT, a copy of one that nobody keeps yet; computes forecasts, and drives Chromium (Debian's package
chromium). ``--once`` takes the phone in light alone.
"""

from __future__ import annotations

import argparse
import datetime as dt
import io
import os
import shutil
import tempfile
import threading
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).parents[1]
SIZES = {"phone": {"width": 390, "height": 844}, "desk": {"width": 1280, "height": 800}}
PASSWORD = "a short sentence"
PLACE, SHED = "Flat at 4 Alder Row", "Cottage at 17 Alder Row"
GARDEN = "Alder Row Shared Garden"  # makes the bran of all places
TALLEST = 1700
PATIENCE_MS = 120_000  # the first answers compile what they need
COLOURS = 256  # flat colours: a small palette loses nothing


def prepare() -> None:
    """A store with the demo's season, its programme, and all forecasts."""
    import django

    django.setup()
    from django.core.management import call_command

    from sourloam.logbook import people
    from sourloam.logbook.demo.season import load_season
    from sourloam.logbook.models import Place
    from sourloam.web.setup.answer import answer
    from sourloam.web.setup.wishes import Wishes, document

    call_command("migrate", verbosity=0)
    fresh = not Place.objects.exists()
    keeper = people.make_first_keeper("Ada", PASSWORD)
    if fresh:
        load_season(keeper, dt.date.today())
        foresee()
    answer(document(Wishes()), "metric")  # compiles the model where that was not done yet
    reckon()


def foresee() -> None:
    """Forecasts of every vessel in use."""
    from sourloam.logbook.foreseeing_all import one_place
    from sourloam.logbook.models import Place

    for place in Place.objects.values_list("pk", flat=True):
        _number, trouble = one_place(place)
        if trouble:
            raise SystemExit(f"not foreseen: {trouble}")


def reckon() -> None:
    """What the home achieved: its page does not wait for it."""
    from sourloam.logbook import achieving
    from sourloam.logbook.models import Place
    from sourloam.web.place.achieved_form import question

    home = Place.objects.filter(name=PLACE).first()
    if home is None:
        return
    achieving.ask(home.pk, home.last_seq, question({}, dt.date.today()))
    while achieving.reckon_next():
        pass


def serve() -> str:
    """The address of a server in a thread of this process."""
    from django.core.wsgi import get_wsgi_application
    from waitress.server import create_server

    server = create_server(get_wsgi_application(), host="127.0.0.1", port=0, threads=4)
    threading.Thread(target=server.run, daemon=True).start()
    return f"http://127.0.0.1:{server.effective_port}"


def photograph(url: str, folder: Path, only: set[str], once: bool) -> None:
    """Every page, or those named, in every size and light, or once."""
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path)
        for size in list(SIZES)[: 1 if once else None]:
            for scheme in ("light", "dark")[: 1 if once else None]:
                viewport = SIZES[size]
                context = browser.new_context(
                    viewport=viewport, color_scheme=scheme, service_workers="block"
                )
                context.set_default_timeout(PATIENCE_MS)
                visit(context.new_page(), url, folder, f"{size}-{scheme}", only)
                context.close()
        browser.close()


def visit(page, url: str, folder: Path, suffix: str, only: set[str]) -> None:
    """Sign in, walk through the pages, take a picture of each."""

    def take(name: str, whole: bool = True) -> None:
        if only and name not in only:
            return
        page.wait_for_timeout(250)
        tall = page.evaluate("document.documentElement.scrollHeight") if whole else 0
        shot = page.screenshot(full_page=whole and tall <= TALLEST)
        picture = (
            Image.open(io.BytesIO(shot))
            .convert("RGB")
            .quantize(COLOURS, kmeans=1, method=Image.Quantize.MAXCOVERAGE)
        )
        picture.save(folder / f"{name}-{suffix}.png", optimize=True)

    page.goto(f"{url}/enter")
    take("door")
    page.goto(f"{url}/try")
    take("try", whole=False)
    page.goto(f"{url}/enter")
    page.fill("#name", "Ada")
    page.fill("#word", PASSWORD)
    page.click("form .go")
    page.wait_for_selector(".lintel .far")
    if page.locator("details.house", has_text=PLACE).count():
        visit_places(page, url, take)
    visit_programme(page, url, take)


def visit_programme(page, url: str, take) -> None:
    """The coordinator's pages, if there is a programme."""
    page.goto(f"{url}/programmes")
    links = page.locator("main a[href^='/g/']")
    if not links.count():
        return
    programme = links.first.get_attribute("href")
    page.goto(url + programme)
    take("morning", whole=False)
    page.goto(url + page.get_attribute("#go-round a", "href"))
    take("round", whole=False)
    page.goto(f"{url}{programme}places")
    take("programme-places", whole=False)
    page.goto(url + page.get_attribute("a.sign >> nth=0", "href"))
    take("programme-place")
    page.goto(f"{url}{programme}figures")
    take("figures", whole=False)


def visit_places(page, url: str, take) -> None:
    """The pages of places, vessels and beds."""
    take("today")
    home, shed, garden = (
        page.locator("details.house", has_text=name)
        .locator("p > a.button")
        .last.get_attribute("href")
        for name in (PLACE, SHED, GARDEN)
    )
    page.goto(url + home)
    take("shelf")
    vessel = page.get_attribute(".shelf a >> nth=0", "href")
    page.goto(url + vessel)
    take("vessel")
    page.goto(f"{url}{vessel}#log-fed")
    take("layer", whole=False)
    page.goto(url + vessel)
    page.goto(url + page.get_attribute(".mend a >> nth=0", "href"))
    take("correct")
    page.goto(url + shed)
    take("shed")
    page.click(".shelf a >> nth=1")
    take("trouble")
    page.goto(page.url + "/rescue?begun=1&seen=rotten_smell")
    take("rescue", whole=False)
    page.goto(f"{url}{garden}lots")
    take("lots", whole=False)
    page.goto(url + page.get_attribute(".shelf a >> nth=1", "href"))
    take("lot", whole=False)
    names = ("beds", "set-up", "people", "place", "stores", "exchange", "calendar", "tokens")
    for name in (*names, "achieved"):
        page.goto(f"{url}{home}{name}")
        if name == "set-up":
            page.wait_for_selector("#answer .figure >> nth=0", timeout=120_000)
        take(name, whole=name != "achieved")


def main() -> None:
    """Make the pictures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", nargs="?", type=Path, default=ROOT / "docs" / "figures" / "pages")
    parser.add_argument("--only", default="")
    parser.add_argument("--once", action="store_true")
    parser.add_argument("--data", type=Path)
    given = parser.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="sourloam-pictures-") as passing:
        data = str(given.data or passing)
        os.environ |= {"SOURLOAM_DATA": data, "DJANGO_SETTINGS_MODULE": "sourloam.logbook.settings"}
        prepare()
        photograph(serve(), given.folder, set(filter(None, given.only.split(","))), given.once)


if __name__ == "__main__":
    main()
