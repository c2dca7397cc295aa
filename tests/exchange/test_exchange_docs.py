import importlib.util
from pathlib import Path

import jsonschema

from sourloam.exchange import place_schema

ROOT = Path(__file__).parents[2]


def tool():
    spec = importlib.util.spec_from_file_location("exchange_page", ROOT / "tools/exchange_page.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_shipped_schema_is_the_schema_of_the_models():
    shipped = (ROOT / "docs/place.schema.json").read_text(encoding="utf-8")
    assert shipped == tool().schema()
    jsonschema.Draft202012Validator.check_schema(place_schema())


def test_the_page_lists_every_table_and_column_as_they_are():
    text = (ROOT / "docs/exchange.md").read_text(encoding="utf-8")
    assert tool().page(text) == text
