"""The states of all places of a data folder as plain JSON, after this version has opened it.

``python plain_states.py FOLDER`` prints them, with what ``sourloam check`` finds.
"""

import dataclasses
import datetime as dt
import json
import sys
from pathlib import Path
from uuid import UUID

from pydantic import BaseModel


def plain(value):
    """A state as JSON: names and values, nothing of how it is held."""
    if isinstance(value, BaseModel):
        return plain(value.model_dump(mode="json"))
    if dataclasses.is_dataclass(value):
        return {f.name: plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, dict):
        return {str(key): plain(inner) for key, inner in sorted(value.items(), key=str)}
    if isinstance(value, frozenset | set):
        return sorted((plain(inner) for inner in value), key=str)
    if isinstance(value, list | tuple):
        return [plain(inner) for inner in value]
    if isinstance(value, dt.datetime):
        return value.astimezone(dt.UTC).isoformat()
    return str(value) if isinstance(value, UUID | dt.date | Path) else value


def covers(kept, now, where="state"):
    """Where a state of today says something else than the kept one; what is new since is no
    matter."""
    if isinstance(kept, dict) and isinstance(now, dict):
        gone = [f"{where}.{key}: gone" for key in kept if key not in now]
        both = (key for key in kept if key in now)
        return gone + [
            line for key in both for line in covers(kept[key], now[key], f"{where}.{key}")
        ]
    if isinstance(kept, list) and isinstance(now, list) and len(kept) == len(now):
        pairs = enumerate(zip(kept, now, strict=True))
        return [line for n, (a, b) in pairs for line in covers(a, b, f"{where}[{n}]")]
    return [] if kept == now else [f"{where}: {kept!r} became {now!r}"]


def states_of(folder):
    """Open the folder as a starting server does; its states, photos' bytes and faults."""
    from sourloam.logbook import serving
    from sourloam.logbook.data_folder import DataFolder

    serving.prepare(DataFolder(Path(folder)), static=False)
    from sourloam import safekeeping
    from sourloam.logbook.models import Membership, Photo, Place
    from sourloam.logbook.photos import photo_bytes
    from sourloam.logbook.standing import state_of

    return {
        "places": {
            place.name: plain(state_of(place.pk, place.zone)[0])
            for place in Place.objects.order_by("name")
        },
        "people": sorted(
            f"{one.person.get_username()} {one.role} {one.place.name}"
            for one in Membership.objects.filter(withdrawn_at=None)
        ),
        "photos": {p.sha256: len(photo_bytes(p.place_id, p.sha256)) for p in Photo.objects.all()},
        "faults": [f"{one.where}: {one.what}" for one in safekeeping.check(lambda _line: None)],
    }


if __name__ == "__main__":
    print(json.dumps(states_of(sys.argv[1])))
