"""The icon as PNG in the sizes that phones ask for, from the one drawing in icon.svg.

    python tools/icons.py

Drives Chromium (Debian's package chromium). Phones round the corners themselves, so the ground
reaches to the edge.
"""

from __future__ import annotations

import io
import shutil
from pathlib import Path

from PIL import Image

STATIC = Path(__file__).parents[1] / "src" / "sourloam" / "web" / "static" / "sourloam"
SIZES = (180, 192, 512)
ROUND = ' rx="96"'
COLOURS = 64  # flat colours: a small palette loses nothing


def main() -> None:
    from playwright.sync_api import sync_playwright

    drawing = (STATIC / "icon.svg").read_text(encoding="utf-8").replace(ROUND, "")
    with sync_playwright() as driver:
        path = shutil.which("chromium") or shutil.which("chromium-browser")
        browser = driver.chromium.launch(executable_path=path)
        for size in SIZES:
            page = browser.new_page(viewport={"width": size, "height": size})
            page.set_content(f"<style>*{{margin:0}}svg{{display:block}}</style>{drawing}")
            picture = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
            small = picture.quantize(COLOURS)
            small.save(STATIC / f"icon-{size}.png", optimize=True)
        browser.close()


if __name__ == "__main__":
    main()
