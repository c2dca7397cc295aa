"""Writes the table of addresses into docs/api.md and the document into docs/openapi.json."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

DOCS = Path(__file__).parents[1] / "docs"
PAGE, FILE = DOCS / "api.md", DOCS / "openapi.json"
BEGIN = "<!-- addresses: made by tools/api_page.py -->"


def table(document: dict[str, Any]) -> str:
    """One line an operation, in the order of the document."""
    lines = ["| | address | scope | |", "|---|---|---|---|"]
    for path, methods in document["paths"].items():
        for method, said in methods.items():
            (scope,) = said["security"][0]["Bearer"]
            short = path.removeprefix("/api/v1")
            lines.append(f"| {method.upper()} | `{short}` | {scope} | {said['summary']} |")
    return "\n".join(lines) + "\n"


def page(text: str, document: dict[str, Any]) -> str:
    """The page with its table made anew."""
    return text.split(BEGIN)[0] + BEGIN + "\n\n" + table(document)


def main() -> None:
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sourloam.logbook.settings")
    django.setup()
    from sourloam.api.document import document, document_text
    from sourloam.api.urls import api

    FILE.write_text(document_text(api), encoding="utf-8")
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8"), document(api)), encoding="utf-8")


if __name__ == "__main__":
    main()
