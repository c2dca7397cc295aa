"""The plan as one picture; and the picture as a file."""

from __future__ import annotations

from textwrap import wrap

import altair as alt

from sourloam.planning.contract import Plan
from sourloam.report.answers_chart import chance_chart, rest_chart
from sourloam.report.drivers_chart import drivers_chart
from sourloam.report.page import plain
from sourloam.report.palette import BODY_SIZE, INK, PAPER, SANS, SERIF, TITLE_SIZE
from sourloam.report.saying import ground_said, turns_said, vessels_said
from sourloam.report.year_chart import weeks_chart, year_chart
from sourloam.units import check_system

_COLUMNS = 126
_TITLE_COLUMNS = 58
_PADDING = {"left": 26, "right": 26, "top": 24, "bottom": 24}
_GAP = 46
_BETWEEN = 50


def plan_chart(plan: Plan, system: str = "metric") -> alt.VConcatChart:
    """The year, the scraps, the chance, the rest and what moves them, as one picture.

    About 900 pixels wide, on light paper, in "metric" or "us" units. ValueError for an unknown
    system.
    """
    check_system(system)
    answers = alt.hconcat(chance_chart(plan, system), rest_chart(plan, system), spacing=_BETWEEN)
    panels: list[alt.LayerChart | alt.HConcatChart] = [
        year_chart(plan, system),
        weeks_chart(plan, system),
        answers,
    ]
    if plan.drivers:
        panels.append(drivers_chart(plan, system))
    name = plain(plan.site.name)
    said = [plain(part(plan, system)) for part in (vessels_said, turns_said, ground_said)]
    picture: alt.VConcatChart = (
        alt.vconcat(*panels, spacing=_GAP)
        .properties(
            title=_title(name, said),
            description=f"{name}. {' '.join(said)}",
            usermeta={"name": name, "said": said},
            padding=_PADDING,
        )
        .configure(background=PAPER, font=SANS)
        .configure_view(stroke=None)
    )
    return picture


def _title(name: str, said: list[str]) -> alt.TitleParams:
    return alt.TitleParams(
        text=wrap(name, _TITLE_COLUMNS),
        subtitle=[line for text in said for line in wrap(text, _COLUMNS)],
        anchor="start",
        font=SERIF,
        fontSize=TITLE_SIZE,
        fontWeight="bold",
        color=INK,
        subtitleFont=SANS,
        subtitleFontSize=BODY_SIZE + 1,
        subtitleLineHeight=21,
        subtitleColor=INK,
        subtitlePadding=10,
        offset=30,
    )
