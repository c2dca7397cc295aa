"""Labels for vessels on a sheet of stickers, whatever its maker: known by width and height."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from sourloam.documents.names import vessel_name
from sourloam.documents.qr import qr_svg, said_by
from sourloam.documents.typesetting import DocumentError, Paper, Printing, typeset

_PAPERS_MM: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
_LEAST_MM = (40.0, 20.0)  # below that no camera reads the code at arm's length


@dataclass(frozen=True)
class Stickers:
    """A sheet of equal stickers, mm; those that fit stand in the middle of the paper.

    ``gap_x_mm``, ``gap_y_mm`` lie between stickers; ``skip`` are the first ones, already used.
    """

    width_mm: float = 70.0
    height_mm: float = 37.0
    gap_x_mm: float = 0.0
    gap_y_mm: float = 0.0
    skip: int = 0

    def grid(self, paper: Paper) -> tuple[int, int]:
        """Columns and rows; DocumentError where none fits."""
        wide, tall = _PAPERS_MM[paper]
        if not (self.width_mm >= _LEAST_MM[0] and self.height_mm >= _LEAST_MM[1]):
            raise DocumentError(
                f"stickers {self.width_mm:g}x{self.height_mm:g} mm: give at least "
                f"{_LEAST_MM[0]:g}x{_LEAST_MM[1]:g}"
            )
        columns = int((wide + self.gap_x_mm) / (self.width_mm + self.gap_x_mm))
        rows = int((tall + self.gap_y_mm) / (self.height_mm + self.gap_y_mm))
        if columns < 1 or rows < 1:
            raise DocumentError(
                f"stickers {self.width_mm:g}x{self.height_mm:g} mm: wider or taller than the paper"
            )
        return columns, rows


def vessel_labels(
    names: Sequence[str],
    place: str,
    printing: Printing,
    stickers: Stickers | None = None,
    codes: Sequence[str] = (),
) -> bytes:
    """A sticker for each name, with its code; more sheets where they don't fit on one.

    ``codes`` are the short ones of the vessels in a logbook, in the order of the names.
    """
    sheet = stickers or Stickers()
    columns, rows = sheet.grid(printing.paper)
    if not 0 <= sheet.skip < columns * rows:
        raise DocumentError(f"skip {sheet.skip}: the sheet has {columns * rows} stickers")
    speech = printing.speech
    wide, tall = _PAPERS_MM[printing.paper]
    data = {
        "title": speech.say("Labels of the vessels of {place}", place=place),
        "place": place,
        "columns": columns,
        "rows": rows,
        "width": sheet.width_mm,
        "height": sheet.height_mm,
        "gap_x": sheet.gap_x_mm,
        "gap_y": sheet.gap_y_mm,
        "left": (wide - columns * (sheet.width_mm + sheet.gap_x_mm) + sheet.gap_x_mm) / 2,
        "top": (tall - rows * (sheet.height_mm + sheet.gap_y_mm) + sheet.gap_y_mm) / 2,
        "skip": sheet.skip,
        "qr_alt": speech.say("QR code of this vessel"),
        "blanks": [speech.say("Begun"), speech.say("Full, closed")],
        "labels": [
            {
                "name": vessel_name(name, speech),
                "qr": qr_svg(said_by(printing.address, name, place, code)),
            }
            for name, code in zip_longest(names, codes, fillvalue="")
        ],
    }
    return typeset("labels", data, printing)
