"""A short log, written by hand: three fillings of one vessel, each with its own end."""

import uuid

from sourloam.ledger import fold, parse_entry

KG, BRAN_G = 1.5, 40


def entry(number, kind, day, **body):
    at = f"2026-{1 + day // 28:02d}-{1 + day % 28:02d}T18:00:00+00:00"
    return {
        "id": str(uuid.UUID(int=number)),
        "place": "flat",
        "kind": kind,
        "at": at,
        "written_at": at,
        "body": body,
    }


def raw(fates=("buried", "thrown", "compost"), amount=None, bran=True):
    """Ten layers in each filling; each drains 300 mL for plants and 100 mL into the sink."""
    told, number = [], 1
    for turn, fate in enumerate(fates):
        first = 30 * turn
        events = [
            ("fed", first + i, {"amount": amount or {"mass_kg": KG}}
             | ({"bran_g": BRAN_G} if bran else {}))
            for i in range(10)
        ]  # fmt: skip
        events += [
            ("drained", first + 11, {"volume_ml": 300.0, "use": "plants"}),
            ("drained", first + 12, {"volume_ml": 100.0, "use": "sink"}),
            ("set_aside", first + 13, {}),
            ("emptied", first + 28, {"fate": fate}),
        ]
        for kind, day, body in events:
            told.append(entry(number, kind, day, vessel="v", **body))
            number += 1
    return told


def state(**how):
    return fold([parse_entry(one) for one in raw(**how)])
