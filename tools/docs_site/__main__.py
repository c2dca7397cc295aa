"""Build the documents as a site: ``python -m tools.docs_site FOLDER``.

Every page is one file that asks nothing from outside. A link that leads nowhere ends the build.
"""

from __future__ import annotations

import argparse
import html
import shutil
import sys
from pathlib import Path

from tools.docs_site.chapters import CHAPTERS
from tools.docs_site.page import Page, contents, render
from tools.docs_site.rooms import tour

from sourloam.drawing.palette import DARK, LIGHT

ROOT = Path(__file__).parents[2]
ORDER = [file for chapter in CHAPTERS for file, _ in chapter.pages]
WORDS = {file: word for chapter in CHAPTERS for file, word in chapter.pages}


def address(file: str) -> str:
    """File name of a document's page."""
    return "index.html" if file == "README.md" else f"{Path(file).stem.lower()}.html"


def build(folder: Path) -> list[str]:
    """Write the site; returns the links that lead nowhere, with their pages."""
    pages = {file: address(file) for file in ORDER}
    lost, shown = [], set()
    folder.mkdir(parents=True, exist_ok=True)
    for file in ORDER:
        text = tour(ROOT / "src/sourloam") if file == "rooms" else (ROOT / file).read_text("utf-8")
        page = render(text, file, pages, lambda path: (ROOT / path).is_file())
        lost += [f"{file}: {link}" for link in page.lost]
        shown |= page.files
        (folder / pages[file]).write_text(_whole(file, page), encoding="utf-8")
    for file in shown:
        target = folder / "files" / file
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(ROOT / file, target)
    (folder / "site.css").write_text(_style(), encoding="utf-8")
    return lost


def _style() -> str:
    light, dark = (
        " ".join(f"--{name}: {colour};" for name, colour in colours.items())
        for colours in (LIGHT, DARK)
    )
    both = f":root {{ {light} }}\n@media (prefers-color-scheme: dark) {{ :root {{ {dark} }} }}\n"
    return both + (Path(__file__).parent / "site.css").read_text(encoding="utf-8")


def _menu(here: str) -> str:
    parts = []
    for chapter in CHAPTERS:
        links = "".join(
            f'<li><a href="{address(file)}"{_current(file, here)}>{html.escape(word)}</a></li>'
            for file, word in chapter.pages
        )
        parts.append(f"<h2>{html.escape(chapter.title)}</h2><ul>{links}</ul>")
    return "".join(parts)


def _current(file: str, here: str) -> str:
    return ' aria-current="page"' if file == here else ""


def _turn(here: str) -> str:
    place = ORDER.index(here)
    before, after = ORDER[:place][-1:], ORDER[place + 1 :][:1]
    back = [f'<a href="{address(f)}" rel="prev">← {html.escape(WORDS[f])}</a>' for f in before]
    on = [f'<a href="{address(f)}" rel="next">{html.escape(WORDS[f])} →</a>' for f in after]
    return "".join((*(back or ["<span></span>"]), *on))


def _whole(file: str, page: Page) -> str:
    here = f'<ul class="here">{contents(page.headings)}</ul>' if len(page.headings) > 3 else ""
    body = page.body.replace("</h1>", f"</h1>{here}", 1)
    return f"""<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{html.escape(page.title)} · Sourloam</title>
<link rel="stylesheet" href="site.css">
<a class="skip" href="#text">To the text</a>
<header class="plank"><a href="index.html">Sourloam</a>
<a class="to-contents" href="#contents">Contents</a></header>
<div class="house">
<nav id="contents" aria-label="Contents">{_menu(file)}</nav>
<main id="text">
{body}
<div class="turn">{_turn(file)}</div>
</main>
</div>
</html>
"""


def main() -> int:
    """Build into the folder asked for."""
    asked = argparse.ArgumentParser(prog="docs_site", description=__doc__)
    asked.add_argument("folder", type=Path)
    lost = build(asked.parse_args().folder)
    for line in lost:
        print(f"leads nowhere: {line}", file=sys.stderr)
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main())
