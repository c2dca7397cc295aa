"""Pictures of the main pages for the docs: phone and desk, light and dark.

    python tools/screenshots.py [FOLDER]      docs/figures/pages if not given

Starts a server of its own on a fresh data folder with the demo's season, computes forecasts, and
drives Chromium (Debian's package chromium). Takes a minute or two.
"""

from __future__ import annotations

import datetime as dt
import io
import json
import os
import shutil
import sys
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
COLOURS = 256  # flat colours: a small palette loses nothing


def prepare() -> None:
    """A store with the demo's season and its forecasts."""
    import django

    django.setup()
    from django.core.management import call_command

    from sourloam.logbook import loading, people
    from sourloam.web.setting_up import answer
    from sourloam.web.wishes import Wishes, document

    call_command("migrate", verbosity=0)
    keeper = people.make_first_keeper("Ada", PASSWORD)
    loading.load_season(keeper, dt.date.today())
    answer(document(Wishes()), "metric")  # compiles the model where that was not done yet
    foresee()


def foresee() -> None:
    """Forecasts of every vessel in use."""
    from sourloam.forecast.place import forecast_place, summaries
    from sourloam.forecast.vessel import Question
    from sourloam.logbook.models import Forecast, Place
    from sourloam.logbook.standing import state_of

    for place in Place.objects.all():
        state, seq = state_of(place.pk, place.zone)
        found = forecast_place(state, state.site(), Question(dt.date.today()))
        for vessel, summary in summaries(found).items():
            plain = json.loads(json.dumps(summary))
            Forecast.objects.update_or_create(
                place=place, vessel=vessel, defaults={"seq": seq, "summary": plain}
            )


def serve() -> str:
    """The address of a server in a thread of this process."""
    from django.core.wsgi import get_wsgi_application
    from waitress.server import create_server

    server = create_server(get_wsgi_application(), host="127.0.0.1", port=0, threads=4)
    threading.Thread(target=server.run, daemon=True).start()
    return f"http://127.0.0.1:{server.effective_port}"


def photograph(url: str, folder: Path) -> None:
    """Every page in every size and light."""
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path)
        for size, viewport in SIZES.items():
            for scheme in ("light", "dark"):
                context = browser.new_context(
                    viewport=viewport, color_scheme=scheme, service_workers="block"
                )
                visit(context.new_page(), url, folder, f"{size}-{scheme}")
                context.close()
        browser.close()


def visit(page, url: str, folder: Path, suffix: str) -> None:
    """Sign in, walk through the pages, take a picture of each."""

    def take(name: str, whole: bool = True) -> None:
        page.wait_for_timeout(250)
        tall = page.evaluate("document.documentElement.scrollHeight") if whole else 0
        shot = page.screenshot(full_page=whole and tall <= TALLEST)
        picture = (
            Image.open(io.BytesIO(shot))
            .convert("RGB")
            .quantize(COLOURS, method=Image.Quantize.MAXCOVERAGE)
        )
        picture.save(folder / f"{name}-{suffix}.png", optimize=True)

    page.goto(f"{url}/enter")
    take("door")
    page.goto(f"{url}/try?b_warmth=8")
    take("try", whole=False)
    page.goto(f"{url}/enter")
    page.fill("#name", "Ada")
    page.fill("#word", PASSWORD)
    page.click("form .go")
    page.wait_for_url(f"{url}/")
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
    pages = ("beds", "set-up", "people", "stores", "exchange")
    for name, path in zip(pages, pages, strict=True):
        page.goto(f"{url}{home}{path}")
        if name == "set-up":
            page.wait_for_selector("#answer .figure >> nth=0", timeout=120_000)
        take(name)


def main() -> None:
    """Make all pictures."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "docs" / "figures" / "pages"
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="sourloam-pictures-") as data:
        os.environ |= {"SOURLOAM_DATA": data, "DJANGO_SETTINGS_MODULE": "sourloam.logbook.settings"}
        prepare()
        photograph(serve(), folder)


if __name__ == "__main__":
    main()
