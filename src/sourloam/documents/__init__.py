"""What people hold: cards, labels, sheets and a calendar file, from answers that others computed.

Pure functions, data in, bytes out. ``Printing`` says in which language, on which paper, in which
units; every sheet is a PDF/A-2b and PDF/UA-1 file that needs no font of the machine.
"""

from sourloam.documents.card import vessel_cards
from sourloam.documents.typesetting import DocumentError, Printing

__all__ = ["DocumentError", "Printing", "vessel_cards"]
