"""Writes the table of kinds of entry into docs/entries.md, from the models themselves."""

from __future__ import annotations

from pathlib import Path

from sourloam.ledger import KINDS, ROLES

PAGE = Path(__file__).parents[1] / "docs" / "entries.md"
BEGIN = "<!-- kinds: made by tools/entries_page.py -->"


def table() -> str:
    """One part a kind: who writes it, what it says, and its fields."""
    parts = []
    for kind in KINDS.values():
        doc = (kind.body.__doc__ or "").strip()
        who = ", ".join(role for role in ROLES if role in kind.roles)
        parts.append(f"### {kind.name}\n\n{doc} Written by: {who}.\n")
        rows = [
            f"| `{field.alias or name}` | {'yes' if field.is_required() else 'no'} | "
            f"{(field.description or '').rstrip('.')} |"
            for name, field in kind.body.model_fields.items()
        ]
        if rows:
            parts.append("\n".join(["| field | needed | meaning |", "|---|---|---|", *rows]) + "\n")
    return "\n".join(parts)


def page(text: str) -> str:
    """The page with its table made anew."""
    return text.split(BEGIN)[0] + BEGIN + "\n\n" + table()


if __name__ == "__main__":
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
