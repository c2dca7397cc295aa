"""Writes docs/place.schema.json, and the table of tables into docs/exchange.md, from the models."""

from __future__ import annotations

import json
from pathlib import Path

from sourloam.exchange import place_schema
from sourloam.exchange.schema import describe_tables

DOCS = Path(__file__).parents[1] / "docs"
PAGE, SCHEMA = DOCS / "exchange.md", DOCS / "place.schema.json"
BEGIN, END = "<!-- tables: made by tools/exchange_page.py -->", "<!-- end of tables -->"


def schema() -> str:
    """The schema as its file holds it."""
    return json.dumps(place_schema(), indent=1, ensure_ascii=False) + "\n"


def page(text: str) -> str:
    """The page with its table made anew; ValueError if its marks are missing."""
    before, begin, rest = text.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError(f"{PAGE.name}: needs the marks {BEGIN} and {END}")
    return f"{before}{BEGIN}\n\n{describe_tables()}\n{END}{after}"


if __name__ == "__main__":
    SCHEMA.write_text(schema(), encoding="utf-8")
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
