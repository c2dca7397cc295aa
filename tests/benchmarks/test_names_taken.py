"""What lies beside the package still finds in it what it takes from there."""

import ast
import importlib
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]
FILES = sorted(file for room in ("tools", "benchmarks") for file in (TOP / room).rglob("*.py"))


def taken(file):
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("sourloam"):
            yield from ((node.module, one.name) for one in node.names)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_every_name_that_is_taken_exists(file):
    for module, name in taken(file):
        if not hasattr(importlib.import_module(module), name):
            importlib.import_module(f"{module}.{name}")
