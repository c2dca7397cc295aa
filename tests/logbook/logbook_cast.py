"""Entries as a phone sends them."""

import datetime as dt
import uuid

PASSWORD = "a short sentence"
SPEC = {"name": "19 L pail", "volume": "19 L"}


def raw(place, kind, body, **more):
    now = dt.datetime.now(dt.UTC).isoformat()
    said = {"id": str(uuid.uuid4()), "place": place, "kind": kind, "body": body}
    return {**said, "at": now, "written_at": now, **more}


def fed(place, vessel="blue", mass_kg=1.0, **more):
    return raw(place, "fed", {"vessel": vessel, "amount": {"mass_kg": mass_kg}}, **more)
