import importlib.util
import json
from pathlib import Path

from sourloam.ledger import parse_entry

ROOT = Path(__file__).parents[2]


def tool():
    spec = importlib.util.spec_from_file_location("entries_page", ROOT / "tools/entries_page.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_on_entries_lists_every_kind_and_field_as_they_are():
    text = (ROOT / "docs/entries.md").read_text(encoding="utf-8")
    assert tool().page(text) == text


def test_the_entry_on_the_page_is_an_entry():
    text = (ROOT / "docs/entries.md").read_text(encoding="utf-8")
    shown = text.split("```json")[1].split("```")[0]
    assert parse_entry(json.loads(shown)).kind == "fed"
