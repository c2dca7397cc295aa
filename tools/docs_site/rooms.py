"""The tour of the rooms: what each folder says of itself, and what it offers."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path


def tour(source: Path) -> str:
    """Markdown: every room with its own words and the names that others may use."""
    lines = [
        "# The rooms of the house",
        "",
        "Each folder of `src/sourloam` is a room with one subject. What a room says of itself and",
        "the names it offers to others are read from its own file, so this page can't grow old.",
        "",
    ]
    for room in sorted(source.glob("*/__init__.py")):
        lines += _room(room)
    return "\n".join(lines)


def _room(file: Path) -> Iterator[str]:
    tree = ast.parse(file.read_text(encoding="utf-8"))
    yield f"## {file.parent.name}"
    yield ""
    yield ast.get_docstring(tree) or ""
    yield ""
    offered = sorted(_offered(tree))
    if offered:
        yield "Offers " + ", ".join(f"`{name}`" for name in offered) + "."
        yield ""


def _offered(tree: ast.Module) -> set[str]:
    for node in tree.body:
        if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "__all__":
            return set(ast.literal_eval(node.value))
    return set()
