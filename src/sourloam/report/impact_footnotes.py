"""Footnotes of what fermenting brings: their numbers in the text, the list at its end."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rich.console import RenderableType

from sourloam.impact.contract import Impact, Source
from sourloam.report.page import heading, paragraph, sentence


def footnotes(answer: Impact, keys: Iterable[str]) -> str:
    """Numbers of the footnotes, such as [3, 7]."""
    numbers = {s.id: s.number for s in answer.sources}
    found = [str(numbers[key]) for key in dict.fromkeys(keys) if key in numbers]
    return f"[{', '.join(found)}]" if found else ""


def sources_section(sources: Iterable[Source]) -> Iterator[RenderableType]:
    """Each source with its value, range and standing."""
    yield heading("Who says so")
    for one in sources:
        unit = "" if one.unit == "1" else f" {one.unit}"
        ends = "" if one.low == one.high else f" ({one.low:g} to {one.high:g})"
        who = f" {one.citation}." if one.citation else ""
        note = f" {sentence(one.note)}" if one.note else ""
        yield paragraph(
            f"[{one.number}] {one.name}: {one.value:g}{ends}{unit}; {one.standing}.{note}{who}"
        )
