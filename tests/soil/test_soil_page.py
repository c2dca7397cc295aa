"""The page on the ground shows what the code computes today."""

import importlib.util
from pathlib import Path

TOP = Path(__file__).parents[2]


def test_every_table_of_the_page_is_computed():
    spec = importlib.util.spec_from_file_location("soil_tables", TOP / "tools" / "soil_tables.py")
    tables = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tables)
    page = tables.PAGE.read_text(encoding="utf-8")
    assert tables.filled(page) == page, "run: python tools/soil_tables.py"
