"""Pictures of the two models for the docs: the vessel as a stack of layers, the trench in its bed.

python tools/model_pictures.py [FOLDER]      docs/figures if not given
"""

from __future__ import annotations

import sys
from pathlib import Path

from sourloam.drawing.signs.props import drop, seedling, sun
from sourloam.drawing.svg import document, line, path, tag, words
from sourloam.drawing.vessel import Frame, LayerPicture, VesselPicture, inside_and_body

ROOT = Path(__file__).parents[1]
PAPER = "M0 0H{0}V{1}H0Z"
HEAD = {
    "right": "l-7 -4m7 4l-7 4",
    "left": "l7 -4m-7 4l7 4",
    "down": "l-4 -7m4 7l4 -7",
    "up": "l-4 7m4 -7l4 7",
}


def arrow(x: float, y: float, x2: float, y2: float) -> str:
    """A straight arrow."""
    way = ("down" if y2 > y else "up") if x == x2 else ("right" if x2 > x else "left")
    return path(f"M{x} {y}L{x2} {y2}{HEAD[way]}", "d-line")


def note(x: float, y: float, title: str, *rest: str, anchor: str | None = None) -> str:
    """A name and lines below it."""
    drawn = words(title, x, y, "d-name", anchor)
    return drawn + "".join(
        words(text, x, y + 17 * k, "d-small", anchor) for k, text in enumerate(rest, 1)
    )


def box(x: float, y: float, wide: float, tall: float, title: str, *rest: str) -> str:
    """A paper with a name and lines."""
    sheet = path(f"M{x} {y}h{wide}v{tall}h-{wide}Z", "d-mark")
    return sheet + note(x + 10, y + 20, title, *rest)


def vessel() -> str:
    """What happens in a vessel, and in one layer of it."""
    size = (860, 440)
    sheet = path(PAPER.format(*size), "d-mark")
    title = "The model of a vessel"
    desc = "A vessel cut open, and one of its layers: food, who eats it, what they make, and pH."
    return document(size, sheet + _stack() + _layer(), title, desc, standalone=True)


def _stack() -> str:
    picture = VesselPicture(
        "vessel",
        "filling",
        level=0.86,
        liquid=0.6,
        layers=tuple(LayerPicture(1.0, ph) for ph in (3.8, 3.9, 4.2, 4.7, 5.2, 6.1)),
    )
    drawn = inside_and_body(picture, Frame(picture.outline, 660, 296, 400))
    drawn += note(20, 60, "Kitchen", "its warmth, day by day") + arrow(150, 84, 198, 150)
    drawn += note(20, 180, "Air", "comes in at the lid; the", "top layer burns acid")
    drawn += arrow(50, 175, 200, 175)
    drawn += note(20, 270, "Pressing", "plate and upper layers", "squeeze the lower ones")
    drawn += arrow(296, 216, 296, 262)
    drawn += note(20, 356, "Liquid", "runs down through the", "grid, out by the tap")
    drawn += drop(282, 338) + drop(312, 338) + arrow(160, 386, 208, 390)
    return drawn + line(384, 263, 430, 62, "d-limit") + line(381, 290, 430, 408, "d-limit")


def _layer() -> str:
    drawn = note(430, 38, "One layer: a closed, well-mixed portion with its own clock")
    drawn += box(430, 56, 195, 92, "Food", "sugar; sugar still in cells;", "starch; protein; water")
    drawn += box(
        645, 56, 200, 92, "Who eats", "lactic bacteria, early and late;", "yeast; enterobacteria;",
        "clostridia",
    )  # fmt: skip
    drawn += box(
        645, 190, 200, 92, "What they make", "lactic, acetic, butyric acid;",
        "ethanol; CO2; ammonium", "(whole balanced reactions)",
    )  # fmt: skip
    drawn += box(
        430, 190, 195, 92, "pH", "balance of charges: acids,", "the scraps' own buffer, salts,",
        "ammonium",
    )  # fmt: skip
    drawn += arrow(625, 102, 643, 102) + arrow(745, 148, 745, 188) + arrow(643, 236, 627, 236)
    drawn += arrow(600, 190, 643, 150) + words("slows each of them", 470, 174, "d-small")
    drawn += arrow(527, 282, 527, 320) + arrow(745, 282, 745, 320)
    return drawn + box(
        430, 322, 415, 92, "What is told",
        "sour: the newest layer is below the pH that holds spoilage back",
        "failed: spoilage came first, or it was not sour in time",
        "liquid, fill and shrinking: water let go, gas, pressing",
    )  # fmt: skip


def trench() -> str:
    """What happens around a buried ferment."""
    size = (860, 420)
    drawn = path(PAPER.format(*size), "d-mark") + path("M10 130H850V405H10Z", "d-soil")
    title = "The model of a buried ferment"
    desc = "A trench in a bed: acids, matter, lumps, oxygen, rain, nitrogen, salt, day of planting."
    drawn += _zone() + _above() + _left() + _right()
    return document(size, drawn, title, desc, standalone=True)


def _zone() -> str:
    drawn = path("M300 190H560L540 320H320Z", "d-trench")
    lumps = ((345, 225), (385, 270), (420, 225), (440, 290), (480, 250), (515, 220), (350, 300),
             (515, 295))  # fmt: skip
    for x, y in lumps:
        drawn += tag("circle", cx=x, cy=y, r=9, class_="d-sour")
    return drawn + note(430, 345, "Mixing zone", "ferment mixed with soil", anchor="middle")


def _above() -> str:
    drawn = tag("g", sun(), transform="translate(50 46)")
    drawn += note(80, 42, "Soil's warmth", "sets the pace of all")
    drawn += drop(256, 30) + drop(270, 48) + drop(244, 52)
    drawn += note(286, 42, "Rain", "carries nitrate", "and salt down")
    drawn += arrow(430, 30, 430, 186)
    drawn += note(
        442,
        42,
        "Oxygen",
        "comes down through dug soil and in at",
        "the edges; short of it, all is slower",
    )
    return drawn + tag("g", seedling(), transform="translate(770 130) scale(2.2)")


def _left() -> str:
    drawn = note(
        26,
        170,
        "Acids",
        "microbes eat them in days to",
        "weeks; until then they harm",
        "roots and seed",
    )
    drawn += arrow(302, 200, 226, 190)
    drawn += note(
        26, 262, "Matter", "breaks down in pools: part goes", "as CO2, part becomes humus"
    )
    drawn += arrow(312, 268, 226, 268)
    drawn += note(26, 338, "Lumps", "no air inside: the larger, the", "longer the wait; mix well")
    return drawn + arrow(340, 306, 226, 348)


def _right() -> str:
    drawn = note(
        600, 190, "Nitrogen", "held by microbes first, then freed:", "ammonium, then nitrate"
    )
    drawn += arrow(560, 212, 594, 200)
    drawn += note(600, 268, "Salt, pH, ammonia", "against what each plant bears")
    drawn += arrow(552, 264, 594, 264)
    drawn += note(
        600,
        332,
        "When may I plant?",
        "on the first day on which acids,",
        "oxygen, salt and ammonia all fit",
    )
    return drawn + arrow(822, 318, 822, 138)


def main() -> None:
    """Write both."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "docs" / "figures"
    for name, drawn in (("vessel", vessel()), ("soil", trench())):
        (folder / f"model-{name}.svg").write_text(drawn + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
