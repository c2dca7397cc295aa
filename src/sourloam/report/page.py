"""The blocks a plan is set in: headings, paragraphs, tables, bars; and the page that holds them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from rich.box import Box
from rich.console import Console, ConsoleOptions, RenderableType, RenderResult
from rich.padding import Padding
from rich.segment import Segment
from rich.table import Table
from rich.text import Text

_TOGETHER = "\ue000"  # stands for a space that must not break while lines are laid out
WIDEST = 118
READABLE = 88
INDENT = 2
# A rule under the head and nothing else.
_RULED = Box("    \n    \n ── \n    \n    \n    \n    \n    \n")
# For consoles that know only plain letters; one sign for one sign, so that columns stand.
_PLAIN_SIGNS = str.maketrans(
    "█▓▒░•·─│═–—°²³×≈▁▂▃▄▅▆▇┄‘’“”…≤≥±→",
    "##%-o.-|=--o23x=_..--=#-''\"\".<>~>",
)


@dataclass(frozen=True)
class Look:
    """What a section must know of where it will stand: columns, and the reader's units."""

    width: int
    system: str


def plain(text: str) -> str:
    """The text without control signs, so that a name in a file cannot steer a terminal."""
    return "".join(c for c in text if c == "\n" or unicodedata.category(c) not in ("Cc", "Cf"))


def sentence(text: str) -> str:
    """With a capital first letter and a full stop, if there is anything at all."""
    text = plain(text).strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?" else ".")


def spaced(name: str) -> str:
    """A name written with underscores, as words."""
    return name.replace("_", " ")


def unbroken(text: str) -> str:
    """The text with each figure tied to its % while lines are laid out."""
    return re.sub("(?<=\\d)[ \u00a0](?=%)", _TOGETHER, plain(text))


def heading(text: str) -> RenderableType:
    """A section's name on a line of its own, underlined by its own length."""
    shown = plain(text)
    return Text.assemble("\n", (shown, "bold"), "\n", ("─" * len(shown), "dim"))


def paragraph(text: str, style: str = "", indent: int = 0) -> RenderableType:
    """Running text, wrapped and never cut."""
    return Padding(Text(unbroken(text), style=style), (0, 0, 0, indent))


def table(
    head: Sequence[str], rows: Iterable[Sequence[str | Text]], right: Sequence[int] = ()
) -> RenderableType:
    """Columns with a rule under the head; ``right`` lists the columns set flush right."""
    made = Table(
        box=_RULED, show_edge=False, pad_edge=False, padding=(0, 2, 0, 0), header_style="bold"
    )
    for column, name in enumerate(head):
        made.add_column(Text(plain(name)), justify="right" if column in right else "left")
    for row in rows:
        made.add_row(*(cell if isinstance(cell, Text) else Text(unbroken(cell)) for cell in row))
    return Padding(made, (1, 0, 1, INDENT))


def listing(rows: Iterable[Sequence[str]], widths: Sequence[int]) -> RenderableType:
    """Columns without a head, each at least so wide; the last takes what is left and wraps."""
    made = Table(box=None, show_header=False, show_edge=False, pad_edge=False, padding=(0, 2, 0, 0))
    for width in widths:
        made.add_column(min_width=width, no_wrap=True)
    made.add_column()
    for row in rows:
        made.add_row(*(Text(unbroken(cell)) for cell in row))
    return Padding(made, (0, 0, 0, INDENT))


def drawing(lines: Iterable[str]) -> RenderableType:
    """Lines set as they are."""
    text = Text("\n".join(plain(line) for line in lines), no_wrap=True, overflow="crop")
    return Padding(text, (1, 0, 1, INDENT))


def bar(share: float, columns: int) -> str:
    """A bar of so many columns for a share between 0 and 1; anything above 0 shows."""
    share = min(1.0, max(0.0, share))
    full = round(share * columns)
    if share > 0 and full == 0:
        return "▒" + "·" * (columns - 1)
    return "█" * full + "·" * (columns - full)


class Page:
    """A renderable that fits itself to the console: its width, its signs, its colours."""

    def __init__(self, parts: Callable[[Look], Iterable[RenderableType]], system: str) -> None:
        self._parts = parts
        self._system = system

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        width = min(options.max_width, WIDEST)
        look = Look(width, self._system)
        blank = True
        for part in self._parts(look):
            room = min(width, READABLE) if _is_prose(part) else width
            # Lay out with all signs, then swap those that the console cannot show.
            inner = options.update(width=room, max_width=room, height=None)
            inner.encoding = "utf-8"
            for line in console.render_lines(part, inner, pad=False):
                bare = _without_trailing_space(line)
                if bare or not blank:
                    yield from (_shown(segment, options) for segment in bare)
                    yield Segment.line()
                blank = not bare


def _is_prose(part: RenderableType) -> bool:
    inner = part.renderable if isinstance(part, Padding) else part
    return isinstance(inner, Text) and not inner.no_wrap


def _without_trailing_space(line: list[Segment]) -> list[Segment]:
    """So that a plan piped to a file has no spaces at the ends of its lines."""
    kept = list(line)
    while kept:
        last = kept.pop()
        text = last.text.rstrip()
        if text:
            return [*kept, Segment(text, last.style)]
    return []


def _shown(segment: Segment, options: ConsoleOptions) -> Segment:
    spaced_out = segment.text.replace(_TOGETHER, " ").replace("\u00a0", " ")
    segment = Segment(spaced_out, segment.style, segment.control)
    if not options.ascii_only:
        return segment
    text = segment.text.translate(_PLAIN_SIGNS).encode("ascii", "replace").decode("ascii")
    return Segment(text, segment.style, segment.control)
