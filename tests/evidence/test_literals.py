"""No science room holds a constant that belongs in the evidence."""

import ast
from pathlib import Path

import pytest

ROOMS = (
    *("climate", "scraps", "vessel", "bran", "soil", "garden"),
    *("impact", "planning", "forecast", "triage", "programme"),
)
SOURCE = Path(__file__).parents[2] / "src" / "sourloam"
# Counting, halving, percent, and the exact relations of time, length and mass.
ALLOWED = {0, 1, 2, 3, 4, 5, 6, 7, 10, 12, 24, 60, 100, 365, 366, 1000, 1e6, 3600, 86400}
ALLOWED |= {0.5, 0.1, 0.9, 1e-3, 1e-6, 365.25, 1e9}
MARK = "# method:"


def files():
    return sorted(p for room in ROOMS for p in (SOURCE / room).rglob("*.py"))


@pytest.mark.parametrize("path", files(), ids=lambda p: str(p.relative_to(SOURCE)))
def test_no_constant_of_nature_or_of_the_trade_in_code(path):
    """A number with a unit and a source goes to the tables; one of the numerical method or of
    the layout may stay on a line that says so with the mark."""
    text = path.read_text(encoding="utf-8")
    lines = text.splitlines()
    found = [
        f"{path.name}:{node.lineno}: {node.value}"
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Constant)
        and isinstance(node.value, int | float)
        and not isinstance(node.value, bool)
        and abs(node.value) not in ALLOWED
        and MARK not in lines[node.lineno - 1]
    ]
    assert not found, "move to the evidence: " + ", ".join(found)
