"""What people hold: cards, labels, sheets and a calendar file, from answers that others computed.

Pure functions, data in, bytes out. ``Printing`` says in which language, on which paper, in which
units; every sheet is a PDF/A-2b and PDF/UA-1 file that needs no font of the machine.
"""

from sourloam.documents.achieved import achieved_report
from sourloam.documents.bran import bran_sheet
from sourloam.documents.burial import burial_sheet
from sourloam.documents.calendar import Dated, calendar_file, plan_calendar
from sourloam.documents.card import OnShelf, vessel_cards
from sourloam.documents.class_kit import class_kit
from sourloam.documents.feeding import feeding_table
from sourloam.documents.labels import Stickers, vessel_labels
from sourloam.documents.season import season_report
from sourloam.documents.typesetting import DocumentError, Printing
from sourloam.documents.week import week_sheet

__all__ = [
    "Dated",
    "DocumentError",
    "OnShelf",
    "Printing",
    "Stickers",
    "achieved_report",
    "bran_sheet",
    "burial_sheet",
    "calendar_file",
    "class_kit",
    "feeding_table",
    "plan_calendar",
    "season_report",
    "vessel_cards",
    "vessel_labels",
    "week_sheet",
]
