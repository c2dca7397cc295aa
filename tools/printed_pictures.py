"""Pictures of the printed sheets for the docs.

    python tools/printed_pictures.py [FOLDER [LOG.json]]      docs/figures/documents if not given

LOG.json is what `sourloam export --demo --place NAME --out LOG.json` writes. With school.json, of
"Alder Row School", only the two reports of a season are drawn: what the log tells, and what that
achieved; with house.json, of "House at 9 Alder Row", its week and one of its cards.

Runs `sourloam print` and `sourloam impact --report` on examples and turns pages to
pictures with poppler's pdftoppm. Takes some minutes: plans and garden plans are computed anew.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image, ImageOps

ROOT = Path(__file__).parents[1]
DPI = 80
LAST = {"class": 4}
COLOURS = 200
SHEETS = (
    ("card", "home", "en", "a4"),
    ("card", "school", "es", "letter"),
    ("labels", "school", "en", "a4"),
    ("burial", "home", "en", "a4"),
    ("feeding", "home", "en", "a4"),
    ("bran", "home", "es", "letter"),
    ("class", "school", "en", "a4"),
)
LOGGED = {
    "school": (("season", "school", "en", "a4"), ("achieved", "school", "en", "a4")),
    "house": (("week", "house", "en", "a4"), ("card", "house", "en", "a4")),
}


def logged(folder: Path, log: Path, what: str, place: str, language: str, paper: str) -> Path:
    """The PDF of a sheet from a log."""
    path = folder / f"{what}-{place}-{language}-{paper}.pdf"
    verb = ["print", str(log), "--what", what, "--out", str(path), "--members", "60"]
    if what == "achieved":
        verb = ["impact", "--from-log", str(log), "--report", str(path), "--members", "300"]
    if what in ("week", "card"):
        verb += ["--call", "The kitchen door, before four"]
    _run([*verb, "--language", language, "--paper", paper])
    return path


def printed(folder: Path, what: str, place: str, language: str, paper: str) -> Path:
    """The PDF of one sheet."""
    path = folder / f"{what}-{place}-{language}-{paper}.pdf"
    site = str(ROOT / "examples" / f"{place}.toml")
    call = ["--call", "The coordinator, at the kitchen door"]
    verb = ["print", site, "--what", what, "--out", str(path), "--members", "60", *call]
    _run([*verb, "--language", language, "--paper", paper])
    return path


def _run(verb: list[str]) -> None:
    run = "from sourloam.cli import main; main()"
    subprocess.run([sys.executable, "-c", run, *verb], check=True, stdout=subprocess.DEVNULL)


def pictured(pdf: Path, folder: Path) -> Path:
    """Its page that says most as a small PNG with a thin edge."""
    stem = folder / pdf.stem
    page = LAST.get(pdf.stem.partition("-")[0], 1)
    asked = ["-r", str(DPI), "-png", "-singlefile", "-f", str(page), "-l", str(page)]
    subprocess.run(["pdftoppm", *asked, str(pdf), str(stem)], check=True)
    path = stem.with_suffix(".png")
    sheet = ImageOps.expand(Image.open(path).convert("RGB"), border=1, fill="#999")
    sheet.quantize(COLOURS).save(path, optimize=True)
    return path


def main() -> None:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "docs" / "figures" / "documents"
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as drafts:
        if len(sys.argv) > 2:
            log = Path(sys.argv[2])
            made = [logged(Path(drafts), log, *sheet) for sheet in LOGGED[log.stem]]
        else:
            made = [printed(Path(drafts), *sheet) for sheet in SHEETS]
        for pdf in made:
            print(pictured(pdf, folder))


if __name__ == "__main__":
    main()
