"""A whole place out of the store, and into it: all of it in one transaction, or nothing."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from PIL import Image

from sourloam.exchange import Bundle, ExchangeError, PlaceFacts, Trouble
from sourloam.exchange.trouble import at_entry, plain, refuse
from sourloam.ledger import Entry
from sourloam.ledger.entries import of_device
from sourloam.ledger.sentences import Sentence
from sourloam.ledger.sentences import gettext_noop as _
from sourloam.logbook import foreseeing, models, photos, recording
from sourloam.logbook.models.entry import read_row
from sourloam.logbook.permissions import Person, must
from sourloam.logbook.refusals import Refused
from sourloam.logbook.standing import read_entries
from sourloam.logbook.turns import one_at_a_time

_MANY = 500  # ids asked for at once


@dataclass(frozen=True)
class BroughtIn:
    """What a file brought: the place, its entries that were new and known, its new photos."""

    place: str
    name: str
    fresh_place: bool
    new: int
    known: int
    photos: int


def take_out(person: Person | None, place: str) -> Bundle:
    """A whole place; None for whoever holds the data folder itself. Refused for who may not."""
    if person is not None:
        must(person, place, "take out")
    row = models.Place.objects.get(pk=place)
    facts = PlaceFacts(row.pk, row.name, row.zone, row.units, row.language, row.country)
    names = models.Photo.objects.filter(place_id=place).values_list("sha256", flat=True)
    kept = {name: _reader(name) for name in names if photos.path_of(name).exists()}
    return Bundle(facts, tuple(read_entries(place)), kept)


def _reader(name: str) -> Callable[[], bytes]:
    return photos.path_of(name).read_bytes


def bring_in(person: User, bundle: Bundle, place: str | None = None) -> BroughtIn:
    """Add what is new in a file; a place that is not here yet begins with ``person`` as its
    coordinator. The same file again adds nothing.

    ``place`` is where it must belong. ExchangeError or Refused, and nothing is kept, where an
    entry or a photo can't come in.
    """
    if place is not None and bundle.place.id != place:
        raise refuse(_("This file is of another place: %(name)s."), name=bundle.place.name)
    with one_at_a_time, transaction.atomic():
        row, fresh = _place(person, bundle.place)
        new = _new_entries(row.pk, bundle.entries)
        taken = _keep_photos(person, row.pk, bundle.photos)
        _store(person, row, new)
    foreseeing.wake()
    known = len(bundle.entries) - len(new)
    return BroughtIn(row.pk, row.name, fresh, len(new), known, taken)


def add_entries(person: User, place: str, entries: Iterable[Entry]) -> tuple[int, int]:
    """Entries that were checked, of a kind each that the person may write: how many were new, how
    many known. All or nothing; ExchangeError or Refused as above."""
    found = tuple(entries)
    for kind in sorted({entry.kind for entry in found}):
        must(person, place, f"write {kind}")
    with one_at_a_time, transaction.atomic():
        row = models.Place.objects.select_for_update().get(pk=place)
        new = _new_entries(place, found)
        _store(person, row, new)
    foreseeing.wake()
    return len(new), len(found) - len(new)


def _store(person: User, row: models.Place, new: Iterable[Entry]) -> None:
    """Who wrote an entry and when it came in first stay as the file says them."""
    recording.store_all((replace(entry, place=row.pk) for entry in new), person, row)


def _place(person: User, facts: PlaceFacts) -> tuple[models.Place, bool]:
    """The place that the file is of, made if nobody has it."""
    found = models.Place.objects.select_for_update().filter(pk=facts.id).first()
    if found is not None:
        must(person, facts.id, "bring in")
        return found, False
    row = models.Place(**facts.as_json())
    try:
        row.full_clean(exclude=["last_hash"])
    except ValidationError as error:
        raise refuse("%(why)s", plain("place"), why=" ".join(error.messages)) from None
    row.save(force_insert=True)
    models.Membership.objects.create(place=row, person=person, role="coordinator")
    return row, True


def _new_entries(place: str, entries: tuple[Entry, ...]) -> list[Entry]:
    """Those that are not here; ExchangeError where an id is taken by something else."""
    known = {entry.id: entry for entry in _known(entries)}
    wrong, new = [], []
    for number, entry in enumerate(entries, start=1):
        here = known.get(entry.id)
        if here is None:
            new.append(entry)
        elif here.place != place or of_device(here) != of_device(entry):
            said = Sentence.of(_("%(id)s: another entry here has it"), id=str(entry.id))
            wrong.append(Trouble(said, (at_entry(number), plain("id"))))
    wrong += _strays(place, new)
    if wrong:
        raise ExchangeError(wrong)
    return new


def _known(entries: tuple[Entry, ...]) -> Iterator[Entry]:
    ids = [entry.id for entry in entries]
    for start in range(0, len(ids), _MANY):
        rows = models.Entry.objects.filter(pk__in=ids[start : start + _MANY])
        yield from map(read_row, rows.values_list(*models.entry.COLUMNS))


def _strays(place: str, new: list[Entry]) -> Iterator[Trouble]:
    """An entry may replace only what is of its own place."""
    over = {entry.supersedes: entry.id for entry in new if entry.supersedes is not None}
    ids = list(over)
    for start in range(0, len(ids), _MANY):
        rows = models.Entry.objects.filter(pk__in=ids[start : start + _MANY])
        for other in rows.exclude(place_id=place).values_list("id", flat=True):
            where = (plain(str(over[other])), plain("supersedes"))
            yield Trouble(Sentence(_("that entry is of another place")), where)


def _keep_photos(person: User, place: str, found: Mapping[str, Callable[[], bytes]]) -> int:
    """Photos as they are, once they are what this logbook would have kept itself."""
    rows = models.Photo.objects.filter(place_id=place)
    known = set(rows.values_list("sha256", flat=True))
    taken = 0
    for name in sorted(set(found) - known):
        data = found[name]()
        width, height = _size(name, data)
        photos.write_file(photos.path_of(name), data)
        facts: dict[str, Any] = {"size": len(data), "width": width, "height": height}
        models.Photo.objects.create(place_id=place, sha256=name, person_id=person.pk, **facts)
        taken += 1
    return taken


def _size(name: str, data: bytes) -> tuple[int, int]:
    line = refuse(_("not a photo as a logbook keeps it"), plain(f"photos/{name}.jpg"))
    try:
        with Image.open(io.BytesIO(data), formats=["JPEG"]) as picture:
            as_kept = (
                picture.mode == "RGB" and not picture.getexif() and "comment" not in picture.info
            )
            if not as_kept or max(picture.size) > photos.LONGEST:
                raise line
            picture.load()
            return picture.size
    except ExchangeError:
        raise
    except (OSError, ValueError, SyntaxError, EOFError, Image.DecompressionBombError):
        raise line from None


def find_place(wanted: str) -> models.Place:
    """The place of an id or a name, the only one where none is wanted; Refused otherwise."""
    rows = list(models.Place.objects.order_by("name", "pk"))
    found = [
        p for p in rows if not wanted or wanted == p.pk or wanted.casefold() == p.name.casefold()
    ]
    if len(found) == 1:
        return found[0]
    names = ", ".join(f"{p.name} ({p.pk})" for p in (found or rows)) or "none"
    raise Refused(f"{wanted or 'which place'}: choose one of: {names}", 404)


def find_coordinator(wanted: str) -> User:
    """The person of a name, the only account where none is wanted; Refused otherwise."""
    rows = list(User.objects.filter(is_active=True).order_by("username"))
    found = [p for p in rows if not wanted or wanted.casefold() == p.username.casefold()]
    if len(found) == 1:
        return found[0]
    names = ", ".join(p.username for p in rows) or "nobody yet; start the logbook once"
    raise Refused(f"{wanted or 'who brings it in'}: choose one of: {names}", 404)
