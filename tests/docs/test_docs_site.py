"""The documents as a site: whole, at home everywhere, asking nothing of anybody."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    folder = tmp_path_factory.mktemp("site")
    command = [sys.executable, "-m", "tools.docs_site", str(folder)]
    done = subprocess.run(command, cwd=TOP, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return folder


def pages(site):
    return {file.name: file.read_text(encoding="utf-8") for file in site.glob("*.html")}


def test_every_document_has_a_page(site):
    expected = {f"{file.stem.lower()}.html" for file in (TOP / "docs").glob("*.md")}
    assert expected <= set(pages(site))


def test_every_link_leads_to_a_page_a_file_or_a_heading(site):
    texts = pages(site)
    lost = []
    for name, text in texts.items():
        for link in re.findall(r'(?:href|src)="([^"]+)"', text):
            file, _, place = link.partition("#")
            outside = re.match(r"[a-z]+:", file)
            there = not file or (site / file).is_file()
            headed = not place or f'id="{place}"' in texts.get(file or name, "")
            if not (outside or (there and headed)):
                lost.append((name, link))
    assert lost == []


def test_a_page_loads_nothing_from_outside(site):
    for name, text in pages(site).items():
        assert not re.search(r'(?:src|<link[^>]*href)="[a-z]+:', text), name
        assert "<script" not in text


def test_the_tour_names_every_room(site):
    tour = pages(site)["rooms.html"]
    rooms = {file.parent.name for file in (TOP / "src/sourloam").glob("*/__init__.py")}
    assert {room for room in rooms if f'id="{room}"' not in tour} == set()


def test_the_tour_says_of_every_file_what_is_in_it(site):
    tour = pages(site)["rooms.html"]
    said = dict(re.findall(r"<td><code>([^<]+)</code></td>\s*<td>(.*?)</td>", tour, re.DOTALL))
    source = TOP / "src/sourloam"
    files = [f for f in source.rglob("*.py") if f.stem != "__init__" and f.parent != source]
    inside = {str(f.relative_to(source).with_suffix("")).split("/", 1)[1] for f in files}
    assert {name for name in inside if "migrations/" not in name} <= set(said)
    assert [name for name, line in said.items() if not line.strip().endswith((".", "?"))] == []
