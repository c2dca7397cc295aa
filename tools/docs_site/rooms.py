"""The tour of the rooms: what each folder says of itself, what it offers, what each file holds."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path


def tour(source: Path) -> str:
    """Markdown: a sentence a room, then each with its own words, the names that others may use,
    and a line a file."""
    rooms = sorted(file.parent for file in source.glob("*/__init__.py"))
    lines = [
        "# The rooms of the house",
        "",
        "Each folder of `src/sourloam` is a room with one subject. All that stands here is read",
        "from the files themselves, so this page can't grow old.",
        "",
        "| Room | What it is about |",
        "|---|---|",
        *(
            f"| [{room.name}](#{room.name}) | {_first_line(room / '__init__.py')} |"
            for room in rooms
        ),
        "",
    ]
    for room in rooms:
        lines += _room(room)
    return "\n".join(lines)


def _room(room: Path) -> Iterator[str]:
    tree = _tree(room / "__init__.py")
    yield f"## {room.name}"
    yield ""
    yield ast.get_docstring(tree) or ""
    yield ""
    offered = sorted(_offered(tree))
    if offered:
        yield "Offers " + ", ".join(f"`{name}`" for name in offered) + "."
        yield ""
    files = list(_files(room))
    if files:
        yield from ("| File | What is in it |", "|---|---|", *files, "")


def _files(room: Path) -> Iterator[str]:
    """A row for each file of a room, those of a folder behind the folder itself."""
    for file in sorted(room.rglob("*.py"), key=lambda file: file.relative_to(room).parts):
        inside = file.relative_to(room)
        if inside.parts[0] in ("__init__.py", "migrations"):
            continue
        name = f"{inside.parent}/" if file.name == "__init__.py" else str(inside.with_suffix(""))
        yield f"| `{name}` | {_first_line(file)} |"


def _first_line(place: Path) -> str:
    file = place / "__init__.py" if place.is_dir() else place
    said = (ast.get_docstring(_tree(file)) or "").partition("\n\n")[0]
    return " ".join(said.split()).replace("|", "\\|")


def _tree(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"))


def _offered(tree: ast.Module) -> set[str]:
    for node in tree.body:
        if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "__all__":
            return set(ast.literal_eval(node.value))
    return set()
