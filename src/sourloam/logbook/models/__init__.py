"""What is stored."""

from sourloam.logbook.models.achieved import Achieved
from sourloam.logbook.models.calendar import CalendarAddress
from sourloam.logbook.models.entry import AppendOnlyError, Entry, Filing
from sourloam.logbook.models.now import Forecast, PlaceNow
from sourloam.logbook.models.people import Invitation, Membership, Preference
from sourloam.logbook.models.photo import Photo
from sourloam.logbook.models.place import Place
from sourloam.logbook.models.programme import (
    PlaceSaved,
    PlaceSummary,
    Programme,
    ProgrammeEntry,
    ProgrammeLink,
    ProgrammeMember,
    ProgrammePlace,
    ProgrammeRound,
)
from sourloam.logbook.models.token import Token

__all__ = [
    "Achieved",
    "AppendOnlyError",
    "CalendarAddress",
    "Entry",
    "Filing",
    "Forecast",
    "Invitation",
    "Membership",
    "Photo",
    "Place",
    "PlaceNow",
    "PlaceSaved",
    "PlaceSummary",
    "Preference",
    "Programme",
    "ProgrammeEntry",
    "ProgrammeLink",
    "ProgrammeMember",
    "ProgrammePlace",
    "ProgrammeRound",
    "Token",
]
