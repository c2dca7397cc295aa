"""The JSON Schema of a plan, made from the contract.

``python -c "from sourloam.planning import schema; schema.write()"`` writes the shipped file.
"""

from __future__ import annotations

import json
from pathlib import Path

from sourloam.planning.contract import Plan

FILE = Path(__file__).with_name("plan.schema.json")


def schema_text() -> str:
    """The schema as the file holds it."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Plan.model_json_schema(mode="serialization"),
    }
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


def write() -> None:
    """Write the shipped file anew."""
    FILE.write_text(schema_text(), encoding="utf-8")
