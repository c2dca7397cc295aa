"""Programmes of places: every change to one goes through here, and what is kept is read here."""

from sourloam.logbook.programmes.joining import (
    find_link,
    invite,
    join,
    join_as_new,
    join_with_new_place,
    standing_links,
    withdraw,
    withdraw_link,
)
from sourloam.logbook.programmes.log import Beside, deeds, entries, write
from sourloam.logbook.programmes.making import change, make_programme, today
from sourloam.logbook.programmes.mornings import facts_in, morning_of
from sourloam.logbook.programmes.places import (
    add_place,
    let_go,
    names_of,
    refresh,
    seconds,
    settle,
    where,
)
from sourloam.logbook.programmes.rounds import next_round, plan, plan_for, round_on

__all__ = [
    "Beside",
    "add_place",
    "change",
    "deeds",
    "entries",
    "facts_in",
    "find_link",
    "invite",
    "join",
    "join_as_new",
    "join_with_new_place",
    "let_go",
    "make_programme",
    "morning_of",
    "names_of",
    "next_round",
    "plan",
    "plan_for",
    "refresh",
    "round_on",
    "seconds",
    "settle",
    "standing_links",
    "today",
    "where",
    "withdraw",
    "withdraw_link",
    "write",
]
