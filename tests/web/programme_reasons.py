"""Places of a programme that want somebody: many for one reason, some for others."""

import datetime as dt

from sourloam.ledger.sentences import Sentence
from sourloam.programme import Help, PlaceFacts, Risk


def helps():
    day, said = dt.date(2026, 5, 18), Sentence("so")
    wanted = ["failed"] * 9 + ["nowhere"] * 4 + ["stopped"] * 3
    return [
        Help(PlaceFacts(str(n), f"House {n}", "home", day), (Risk(what, None, said, said),), None)
        for n, what in enumerate(wanted)
    ]
