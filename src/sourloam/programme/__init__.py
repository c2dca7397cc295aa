"""A programme of many places: who needs help, what is full when, bran, beds, rounds, figures.

Everything is reckoned from ``PlaceFacts``, plain facts that are made of a place's log and its
forecasts when an entry arrives (``facts_of``), and kept.
"""

from sourloam.programme.drawn import Drawn, drawn, rule
from sourloam.programme.facts import PlaceFacts, Three, VesselFacts, read_all, read_facts
from sourloam.programme.figures import Deed, Figures, figures
from sourloam.programme.filling import FullBy, chance_full, full_by, next_full
from sourloam.programme.fleet import Exchange, Fleet, fleet
from sourloam.programme.from_log import facts_of
from sourloam.programme.risks import Help, Risk, needing_help
from sourloam.programme.rounds import Call, Round, Stop, Van, plan_round
from sourloam.programme.silence import Silence, silence
from sourloam.programme.supply import BedShort, BranNeed, beds_short, bran_need

__all__ = [
    "BedShort",
    "BranNeed",
    "Call",
    "Deed",
    "Drawn",
    "Exchange",
    "Figures",
    "Fleet",
    "FullBy",
    "Help",
    "PlaceFacts",
    "Risk",
    "Round",
    "Silence",
    "Stop",
    "Three",
    "Van",
    "VesselFacts",
    "beds_short",
    "bran_need",
    "chance_full",
    "drawn",
    "facts_of",
    "figures",
    "fleet",
    "full_by",
    "needing_help",
    "next_full",
    "plan_round",
    "read_all",
    "read_facts",
    "rule",
    "silence",
]
