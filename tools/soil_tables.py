"""Write the computed tables of docs/soil-model.md between their marks.

Run as ``python tools/soil_tables.py`` from the top of the repository.
"""

from pathlib import Path

import numpy as np

from sourloam import soil
from sourloam.evidence import book
from sourloam.numerics import spread

PAGE = Path(__file__).parents[1] / "docs" / "soil-model.md"
DAYS, MEMBERS, SEED = 240, 100, 1
TEXTURES = ("sand", "loam", "clay")
BURIALS = (
    ("15 January", 15),
    ("1 March", 60),
    ("1 April", 91),
    ("1 May", 121),
    ("1 June", 152),
    ("1 July", 182),
    ("1 September", 244),
    ("15 October", 288),
    ("15 November", 319),
)


def ids():
    return book().ids(*soil.EVIDENCE)


def central():
    return book().central(ids())


def sample():
    return book().sample(ids(), MEMBERS, np.random.default_rng(SEED))


def ends(texture):
    """(low, high) of every value with a range that this soil uses."""
    other = tuple(f"soil.{t}." for t in soil.ground.TEXTURES if t != texture)
    return {
        key: (book()[key].low, book()[key].high)
        for key in ids()
        if book()[key].distribution != "fixed"
        and not key.startswith(other)
        and not key.startswith(("soil.ferment.", "acids."))
    }


def day(value):
    return "never" if np.isinf(value) else f"{value:.0f}"


def table(head, rows):
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return "\n".join(lines + ["| " + " | ".join(row) + " |" for row in rows])


def waits():
    rows = []
    for texture in TEXTURES:
        found = soil.waiting_table(
            soil.Soil(texture, 6.5),
            [2.5, 5.0, 10.0],
            [5.0, 10.0, 15.0, 20.0, 25.0],
            DAYS,
            central(),
            ends(texture),
        )
        for dose in (2.5, 5.0, 10.0):
            for rate in ("slow", "central", "fast"):
                days = [day(w.sow_day) for w in found if (w.kg_per_m, w.acid_rate) == (dose, rate)]
                rows.append([texture, f"{dose:g}", rate, *days])
    return table(["soil", "kg/m", "acids go", "5 °C", "10 °C", "15 °C", "20 °C", "25 °C"], rows)


def three(values):
    s = spread(values)
    return f"{day(s.median)} ({day(s.low)}–{day(s.high)})"


def held_most(course):
    counts = np.bincount(course.sow_held_by, minlength=len(soil.REASONS))
    return soil.REASONS[int(counts.argmax())]


def run(texture, kg, celsius):
    p = sample()
    burial = soil.usual_burial(soil.Portion.typical(kg, p), 1.0, p)
    return soil.bury(burial, soil.Soil(texture, 6.5), celsius, p)


def ranges():
    rows = []
    for texture in TEXTURES:
        for kg in (5.0, 10.0):
            for celsius in (10.0, 15.0, 20.0):
                c = run(texture, kg, np.full(DAYS, celsius))
                rows.append(
                    [
                        texture,
                        f"{kg:g}",
                        f"{celsius:g}",
                        three(c.sow_day),
                        three(c.transplant_tender_day),
                        three(c.transplant_tolerant_day),
                        held_most(c),
                    ]
                )
    return table(["soil", "kg/m", "°C", "seed", "tender", "tolerant", "most held by"], rows)


def seasons():
    rows = []
    for name, first in BURIALS:
        celsius = 10.5 - 8 * np.cos(2 * np.pi * (first + np.arange(DAYS) - 35) / 365)
        c = run("loam", 5.0, celsius)
        rows.append([name, f"{celsius[0]:.1f}", three(c.sow_day), three(c.transplant_tender_day)])
    return table(["buried on", "soil °C that day", "seed after days", "tender after days"], rows)


def movers():
    rows = []
    for kg, celsius in ((5.0, 10.0), (5.0, 20.0), (10.0, 20.0)):
        p = central()
        burial = soil.usual_burial(soil.Portion.typical(kg, p), 1.0, p)
        steady = np.full(DAYS, celsius)
        ground = soil.Soil("loam", 6.5)
        shifts = soil.waiting_sensitivity(burial, ground, steady, p, ends("loam"))
        for s in shifts[:6]:
            ends_of = f"{s.low:g} – {s.high:g}"
            rows.append(
                [f"{kg:g}", f"{celsius:g}", s.id, ends_of, day(s.sow_at_low), day(s.sow_at_high)]
            )
    return table(["kg/m", "°C", "value", "range", "seed at low end", "seed at high end"], rows)


TABLES = {"waits": waits, "ranges": ranges, "seasons": seasons, "movers": movers}


def filled(text):
    """The page with every table computed anew."""
    for name, make in TABLES.items():
        start, end = f"<!-- table {name} -->\n", f"<!-- end {name} -->"
        before, rest = text.split(start)
        text = before + start + make() + "\n" + end + rest.split(end, 1)[1]
    return text


if __name__ == "__main__":
    PAGE.write_text(filled(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
