"""The page of figures as its paper has it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.text import capfirst

from sourloam.documents.figures import Climate, Figure, FiguresPaper


def told(page: Mapping[str, Any]) -> FiguresPaper:
    """From what the template gets."""
    months = page["months"]
    return FiguresPaper(
        title=page["headline"],
        period=capfirst(page["period"]["said"]),
        said=page["kept"] if months["rows"] else "",
        months=months.get("picture"),
        most=months.get("said", ""),
        month_rows=tuple((one["month"], one["kg"]) for one in months["rows"]),
        figures=tuple(
            Figure(one["of"], one["figure"], one["range"], one["how"]) for one in page["figures"]
        ),
        climate=_climate(page["climate"], page["period"]["whole"]),
    )


def _climate(found: Mapping[str, Any], whole: bool) -> Climate | None:
    if not (whole and found["there"]):
        return None
    return Climate(
        title=found["heading"],
        of=found["of"],
        ways=found["picture"],
        said=tuple(found["said"]),
        known=tuple(found["known"]),
        waits=found["waits"].rstrip("."),
    )
