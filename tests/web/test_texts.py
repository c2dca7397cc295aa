"""Both languages are complete, and the page's style is the drawings' own."""

import subprocess
import sys
from pathlib import Path

from sourloam import drawing

ROOT = Path(__file__).parents[2]
STATIC = ROOT / "src" / "sourloam" / "web" / "static" / "sourloam"


def test_every_text_has_its_spanish_and_is_compiled():
    done = subprocess.run(
        [sys.executable, "tools/translations.py", "--check"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout


def test_the_pages_take_their_colours_from_the_drawings():
    style = (STATIC / "drawing.css").read_text(encoding="utf-8")
    assert style.split("\n", 1)[1] == drawing.stylesheet()


def test_nothing_in_style_or_script_leads_outside():
    for path in STATIC.iterdir():
        text = path.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert "http:" not in text, path.name
        assert "https:" not in text, path.name
