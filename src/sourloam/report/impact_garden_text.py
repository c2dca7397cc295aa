"""What fermenting brings to the garden, as text: nutrients and carbon that stays in the soil."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType

from sourloam.impact.contract import Impact
from sourloam.report.impact_footnotes import footnotes
from sourloam.report.impact_units import bare, unit_of
from sourloam.report.page import heading, paragraph, table


def garden_section(answer: Impact, system: str) -> Iterator[RenderableType]:
    """Nutrients that reach the soil by each way, then carbon that is still there after years."""
    yield heading("For the garden")
    named = ("compost_keeps.nitrogen", "compost_keeps.phosphorus", "compost_keeps.potassium")
    notes = footnotes(
        answer,
        (
            "impact.vessel.nitrogen_kept",
            "impact.vessel.liquid_used",
            *(f"impact_waste.{name}" for name in named),
        ),
    )
    yield paragraph(
        f"Of the scraps' nutrients these reach garden soil {notes}, {unit_of('kg', system)}:"
    )
    yield table(
        ("Way", "Nitrogen", "of it usable in a year", "Phosphorus", "Potassium"),
        [
            (
                r.name,
                *(
                    bare(x, system)
                    for x in (
                        r.nitrogen_to_garden,
                        r.usable_nitrogen,
                        r.phosphorus_to_garden,
                        r.potassium_to_garden,
                    )
                ),
            )
            for r in answer.routes
            if r.nitrogen_to_garden.high
        ],
    )
    spans = [left.years for left in answer.routes[0].soil_carbon]
    notes = footnotes(
        answer,
        (
            "turnover.rate.dpm",
            "turnover.share.decomposable",
            "impact.soil.moisture",
            "impact_waste.compost_humus",
        ),
    )
    yield paragraph(
        f"Carbon still in the soil (or the landfill) after so many years {notes}; not counted as "
        f"saved, {unit_of('kg', system)}:"
    )
    yield table(
        ("Way", *(f"{y} year{'s' if y > 1 else ''}" for y in spans)),
        [
            (r.name, *(bare(left.amount, system) for left in r.soil_carbon))
            for r in answer.routes
            if r.soil_carbon[0].amount.high
        ],
    )
