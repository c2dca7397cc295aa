"""JSON Schema of a site file, made from the model."""

from __future__ import annotations

from typing import Any

from sourloam.site.model import Site


def site_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of the tables in a site file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Site file",
        **Site.model_json_schema(by_alias=True),
    }
