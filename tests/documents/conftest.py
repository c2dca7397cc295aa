"""A plan of the example home, and reading sheets back as any reader of PDF would."""

import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest

from sourloam.planning import make_plan
from sourloam.site import load

EXAMPLES = Path(__file__).parents[2] / "examples"
_WORD = re.compile(r'<word xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*?)</word>')
_PAGE = re.compile(r'<page width="(.+?)" height="(.+?)">(.*?)</page>', re.S)


@dataclass(frozen=True)
class Page:
    """One page: its size in points, its words with their boxes."""

    width: float
    height: float
    words: tuple[tuple[float, float, float, float, str], ...]

    @property
    def text(self) -> str:
        return " ".join(word[-1] for word in self.words)

    def outside(self, edge: float = 14.0) -> list[str]:
        """Words nearer than ``edge`` points to the rim, where printers clip."""
        return [
            text
            for left, top, right, bottom, text in self.words
            if min(left, top, self.width - right, self.height - bottom) < edge
        ]


def _run(tool, *arguments):
    if shutil.which(tool) is None:
        pytest.skip(f"{tool} (poppler) is not here")
    return subprocess.run([tool, *map(str, arguments)], check=True, capture_output=True).stdout


@pytest.fixture
def read_back(tmp_path):
    """PDF bytes to pages."""

    def read(pdf: bytes) -> list[Page]:
        path = tmp_path / "sheet.pdf"
        path.write_bytes(pdf)
        text = _run("pdftotext", "-bbox", path, "-").decode()
        for mark, letter in (("&lt;", "<"), ("&gt;", ">"), ("&quot;", '"'), ("&amp;", "&")):
            text = text.replace(mark, letter)
        return [
            Page(
                float(width),
                float(height),
                tuple((*map(float, found[:4]), found[4]) for found in _WORD.findall(body)),
            )
            for width, height, body in _PAGE.findall(text)
        ]

    return read


@pytest.fixture
def picture(tmp_path):
    """PDF bytes to the picture of one page, grey."""
    from PIL import Image

    def draw(pdf: bytes, page: int = 1, dpi: int = 200):
        path = tmp_path / "sheet.pdf"
        path.write_bytes(pdf)
        asked = ("-r", dpi, "-gray", "-png", "-singlefile", "-f", page, "-l", page)
        _run("pdftoppm", *asked, path, tmp_path / "page")
        return Image.open(tmp_path / "page.png").convert("L")

    return draw


@pytest.fixture(scope="session")
def home():
    return load(EXAMPLES / "home.toml")


@pytest.fixture(scope="session")
def plan(home):
    return make_plan(home, members=20)
