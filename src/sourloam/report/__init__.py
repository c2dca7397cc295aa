"""The plan made readable and visible: text for the console, pictures for a file."""

from sourloam.report.chart import plan_chart
from sourloam.report.saving import save_chart
from sourloam.report.text import plan_text

__all__ = ["plan_chart", "plan_text", "save_chart"]
