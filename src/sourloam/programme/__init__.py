"""A programme of many places: who needs help, what is full when, bran, beds, rounds, figures.

Everything is reckoned from ``PlaceFacts``, plain facts that are made of a place's log and its
forecasts when an entry arrives (``facts_of``), and kept.
"""

from sourloam.ledger.work import rule
from sourloam.programme.after_deeds import after_deeds
from sourloam.programme.deeds import DEEDS, DeedError, checked, numbers
from sourloam.programme.drawn import Drawn, drawn
from sourloam.programme.facts import (
    BranFacts,
    PlaceFacts,
    Three,
    VesselFacts,
    read_facts,
    read_warnings,
)
from sourloam.programme.figures import Deed, Figures, figures
from sourloam.programme.filling import FullBy, chance_full, full_by, next_full
from sourloam.programme.fleet import Exchange, Fleet, fleet
from sourloam.programme.from_log import facts_of
from sourloam.programme.morning import Morning, Where, calls, morning
from sourloam.programme.period import Period, Stay, Stayed, figures_within, stayed
from sourloam.programme.recalls import by_lot, heeding
from sourloam.programme.risks import Help, Risk, needing_help
from sourloam.programme.rounds import (
    Call,
    Round,
    Stop,
    Van,
    plan_round,
    read_round,
    round_as_json,
)
from sourloam.programme.silence import Silence, silence
from sourloam.programme.supply import BedShort, BranNeed, beds_short, bran_need

__all__ = [
    "DEEDS",
    "BedShort",
    "BranFacts",
    "BranNeed",
    "Call",
    "Deed",
    "DeedError",
    "Drawn",
    "Exchange",
    "Figures",
    "Fleet",
    "FullBy",
    "Help",
    "Morning",
    "Period",
    "PlaceFacts",
    "Risk",
    "Round",
    "Silence",
    "Stay",
    "Stayed",
    "Stop",
    "Three",
    "Van",
    "VesselFacts",
    "Where",
    "after_deeds",
    "beds_short",
    "bran_need",
    "by_lot",
    "calls",
    "chance_full",
    "checked",
    "drawn",
    "facts_of",
    "figures",
    "figures_within",
    "fleet",
    "full_by",
    "heeding",
    "morning",
    "needing_help",
    "next_full",
    "numbers",
    "plan_round",
    "read_facts",
    "read_round",
    "read_warnings",
    "round_as_json",
    "rule",
    "silence",
    "stayed",
]
