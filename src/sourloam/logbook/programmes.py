"""Programmes of places: every change to one goes through here, and what is kept is read here."""

from __future__ import annotations

import datetime as dt
import hashlib
import secrets
import uuid
from collections import OrderedDict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.db.models import Count, Max, Sum
from django.utils import timezone
from django.utils.translation import gettext as _

from sourloam.logbook.foreseeing import mark, today_in, wake
from sourloam.logbook.models import (
    Place,
    PlaceSummary,
    Programme,
    ProgrammeEntry,
    ProgrammeLink,
    ProgrammeMember,
    ProgrammePlace,
    ProgrammeRound,
)
from sourloam.logbook.models.programme import LINK_ROLES
from sourloam.logbook.people import account, make_place
from sourloam.logbook.permissions import may, must, must_in_programme, role_of
from sourloam.logbook.programme_facts import facts_in as all_facts
from sourloam.logbook.refusals import Refused
from sourloam.logbook.standing import state_of
from sourloam.logbook.summarising import summarise
from sourloam.programme import (
    DEEDS,
    Deed,
    DeedError,
    Morning,
    PlaceFacts,
    Round,
    Van,
    Where,
    calls,
    checked,
    drawn,
    morning,
    numbers,
    plan_round,
    read_round,
    round_as_json,
)

_VALID = dt.timedelta(days=14)
_LONGEST = 80
_TOKEN_BYTES = 24
_ORDER = {"coordinator": 0, "helper": 1, "reader": 2}
_BACK = dt.timedelta(days=3660)


def make_programme(
    person: User, name: str, zone: str = "UTC", programme: str | None = None
) -> Programme:
    """A new programme with its maker as coordinator; Refused (422) for a name that can't be.
    ``programme`` is its id where whoever asks made one."""
    given = {} if programme is None else {"id": programme}
    with transaction.atomic():
        found = Programme.objects.create(**given, name=_name(name), zone=_zone(zone))
        ProgrammeMember.objects.create(programme=found, person=person, role="coordinator")
    return found


def _name(text: str) -> str:
    name = " ".join(text.split())
    if not 0 < len(name) <= _LONGEST or not name.isprintable():
        raise Refused(_("A name has 1 to 80 letters."), 422)
    return name


def _zone(name: str) -> str:
    try:
        return ZoneInfo(name).key
    except (ValueError, OSError, LookupError):
        return "UTC"


def today(programme: Programme) -> dt.date:
    """The date where the programme is."""
    return timezone.now().astimezone(ZoneInfo(programme.zone)).date()


def change(person: User, programme: Programme, given: Mapping[str, Any]) -> None:
    """Name, hub, van and hours; the values were read and checked by the form."""
    must_in_programme(person, programme.pk, "change programme")
    for key, value in given.items():
        setattr(programme, key, _name(value) if key == "name" else value)
    if programme.ends <= programme.starts:
        raise Refused(_("The round must end after it starts."), 422)
    programme.save(update_fields=list(given))


def add_place(person: User, programme: Programme, place: str) -> ProgrammePlace:
    """A place of one's own comes in; one that left comes back."""
    must_in_programme(person, programme.pk, "add place")
    return _bring(person, programme, place)


def _bring(person: User, programme: Programme, place: str) -> ProgrammePlace:
    must(person, place, "change place")
    found, _new = ProgrammePlace.objects.update_or_create(
        programme=programme,
        place_id=place,
        defaults={"left": None},
        create_defaults={"joined": today(programme)},
    )
    refresh(found.place)
    return found


def refresh(place: Place) -> None:
    """The facts of a place as they are now, and its forecasts anew by and by."""
    state, seq = state_of(place.pk, place.zone)
    summarise(place, state, seq, today_in(place, timezone.now()))
    mark(place.pk, place.last_seq)
    wake()


def let_go(person: User, programme: Programme, place: str) -> None:
    """A place leaves: by the programme's coordinator, or by whoever coordinates the place."""
    found = _place_of(programme, place)
    try:
        must_in_programme(person, programme.pk, "let place go")
    except Refused as refused:
        if not may(role_of(person, place), "change place"):
            raise refused from None
    found.left = today(programme)
    found.save(update_fields=["left"])


def _place_of(programme: Programme, place: str) -> ProgrammePlace:
    rows = ProgrammePlace.objects.filter(programme=programme, left=None)
    found = rows.filter(place_id=place).first() if place.isprintable() else None
    if found is None:
        raise Refused(_("There is no such place in this programme."), 404)
    return found


def settle(person: User, programme: Programme, place: str, given: Mapping[str, Any]) -> None:
    """Where a place lies, its hours, how it is found."""
    must_in_programme(person, programme.pk, "write")
    found = _place_of(programme, place)
    for key, value in given.items():
        setattr(found, key, value)
    if found.opens and found.closes and found.closes <= found.opens:
        raise Refused(_("A place must close after it opens."), 422)
    found.save(update_fields=list(given))


def invite(person: User, programme: Programme, role: str, link: uuid.UUID | None = None) -> str:
    """The secret of a fresh link; it is told this once."""
    if role not in LINK_ROLES:
        raise Refused(_("There is no such role."), 422)
    must_in_programme(person, programme.pk, f"invite {role}")
    token = secrets.token_urlsafe(_TOKEN_BYTES)
    ProgrammeLink.objects.create(
        id=link or uuid.uuid4(),
        programme=programme,
        role=role,
        token_hash=_hashed(token),
        made_by=person,
        expires_at=timezone.now() + _VALID,
    )
    return token


def _hashed(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def find_link(token: str) -> ProgrammeLink:
    """The link if it still works; else Refused with 404."""
    rows = ProgrammeLink.objects.select_related("programme")
    now = timezone.now()
    found = rows.filter(token_hash=_hashed(token), withdrawn_at=None, expires_at__gt=now).first()
    if found is None:
        raise Refused(_("This link no longer works"), 404)
    return found


def join(person: User, token: str, place: str = "") -> Programme:
    """Take the role of a link, or bring a place in by it. A role that is held is never lowered; a
    withdrawn one comes back only by a link that was made after it was withdrawn."""
    with transaction.atomic():
        link = find_link(token)
        if link.role == "place":
            _bring(person, link.programme, place)
            return link.programme
        held, new = ProgrammeMember.objects.get_or_create(
            programme=link.programme, person=person, defaults={"role": link.role}
        )
        if held.withdrawn_at is not None:
            if link.made_at <= held.withdrawn_at:
                raise Refused(_("This link no longer works"), 404)
            held.role, held.withdrawn_at, held.since = link.role, None, timezone.now()
            held.save()
        elif not new and _ORDER[link.role] < _ORDER[held.role] and link.made_at > held.since:
            held.role = link.role
            held.save(update_fields=["role"])
        return link.programme


def join_as_new(token: str, name: str, password: str) -> User:
    """An account for somebody new, with the role of the link; a place is brought in afterwards."""
    with transaction.atomic():
        link = find_link(token)
        person = account(name, password)
        if link.role != "place":
            join(person, token)
        return person


def join_with_new_place(person: User, token: str, name: str) -> Place:
    """A new place of one's own, brought in by a link; Refused (422) for a name that can't be."""
    with transaction.atomic():
        link = find_link(token)
        if link.role != "place":
            raise Refused(_("This link brings no place in."), 422)
        made = make_place(person, name, link.programme.zone)
        join(person, token, made.pk)
        return made


def standing_links(programme: Programme) -> list[ProgrammeLink]:
    """Links that still work, the newest first."""
    rows = ProgrammeLink.objects.filter(programme=programme, withdrawn_at=None)
    works = rows.filter(expires_at__gt=timezone.now()).select_related("made_by")
    return list(works.order_by("-made_at"))


def withdraw_link(by: User, programme: Programme, link: uuid.UUID) -> None:
    """A link stops to work."""
    found = ProgrammeLink.objects.filter(programme=programme, pk=link, withdrawn_at=None).first()
    if found is None:
        raise Refused(_("There is no such link."), 404)
    must_in_programme(by, programme.pk, f"invite {found.role}")
    found.withdrawn_at = timezone.now()
    found.save(update_fields=["withdrawn_at"])


def withdraw(by: User, programme: Programme, person: int) -> None:
    """Take a role away with the links its holder made; the last coordinator stays."""
    with transaction.atomic():
        rows = ProgrammeMember.objects.filter(programme=programme, withdrawn_at=None)
        held = rows.select_for_update().filter(person_id=person).first()
        if held is None:
            raise Refused(_("Nobody of that name is here."), 404)
        action = "see" if person == by.pk else f"withdraw {held.role}"  # anybody may leave
        must_in_programme(by, programme.pk, action)
        others = rows.filter(role="coordinator").exclude(person_id=person)
        if held.role == "coordinator" and not others.exists():
            raise Refused(_("A programme keeps one coordinator."), 409)
        held.withdrawn_at = timezone.now()
        held.save(update_fields=["withdrawn_at"])
        links = ProgrammeLink.objects.filter(programme=programme, made_by_id=person)
        links.filter(withdrawn_at=None).update(withdrawn_at=held.withdrawn_at)


@dataclass(frozen=True)
class Beside:
    """Who wrote a line, where that is more than the person's name; the day that it is of, where
    that is another one than today."""

    by: str = ""
    on: dt.date | None = None


_NOTHING_BESIDE = Beside()


def write(
    person: User,
    programme: Programme,
    kind: str,
    body: Mapping[str, Any],
    place: str = "",
    supersedes: str = "",
    entry: uuid.UUID | None = None,
    beside: Beside = _NOTHING_BESIDE,
) -> ProgrammeEntry:
    """One line of the programme's own log; the same id again is the same one line. Refused (422)
    for what can't be."""
    on = beside.on
    must_in_programme(person, programme.pk, "write")
    try:
        kept = checked(kind, body)
    except DeedError as error:
        raise Refused(str(error), 422, str(error).partition(":")[0]) from None
    if DEEDS[kind].of_place and not place:
        line = _("place: say at which place; this line is of one")
        raise Refused(line, 422, "place")
    if place:
        _place_of(programme, place)
    if on is not None:
        _within(on, today(programme) - _OLDEST, today(programme))
    older = _superseded(programme, supersedes) if supersedes or kind == "struck" else None
    row = ProgrammeEntry(
        id=entry or uuid.uuid4(),
        programme=programme,
        place_id=place or None,
        kind=kind,
        day=on or today(programme),
        person=person,
        by=(beside.by or person.get_username())[:_LONGEST],
        supersedes=older,
        body=kept,
    )
    try:
        with transaction.atomic():
            row.save()
            _at_hub(programme, row)
    except IntegrityError:
        known = ProgrammeEntry.objects.filter(pk=row.pk, programme=programme).first()
        same = known is not None and on in (None, known.day)
        if known is None or not same or (known.kind, known.body) != (kind, kept):
            raise Refused(_("Another entry here has that id."), 409) from None
        return known
    return row


def _at_hub(programme: Programme, row: ProgrammeEntry) -> None:
    """Bran that was left somewhere is no longer at the hub; what was struck is there again."""
    back = 0.0 if row.supersedes is None else _bran_back(row, row.supersedes)
    away = row.body.get("kg", 0.0) if row.kind == "bran" else 0.0
    if back != away:
        held = Programme.objects.select_for_update().get(pk=programme.pk)
        programme.bran_kg = max(round(held.bran_kg + back - away, 3), 0.0)
        programme.save(update_fields=["bran_kg"])


def _bran_back(row: ProgrammeEntry, older: uuid.UUID) -> float:
    own = ProgrammeEntry.objects.filter(programme_id=row.programme_id)
    if own.filter(supersedes=older).exclude(pk=row.pk).exists():
        return 0.0  # it was taken out before
    given = own.filter(pk=older, kind="bran").first()
    return 0.0 if given is None else float(given.body.get("kg", 0.0))


def _within(day: dt.date, first: dt.date, last: dt.date) -> None:
    if not first <= day <= last:
        span = {"first": first.isoformat(), "last": last.isoformat()}
        raise Refused(_("day: choose one from %(first)s to %(last)s") % span, 422, "day")


def _superseded(programme: Programme, supersedes: str) -> uuid.UUID:
    try:
        found = uuid.UUID(supersedes)
    except ValueError:
        raise Refused(_("There is no such entry."), 404) from None
    if not ProgrammeEntry.objects.filter(pk=found, programme=programme).exists():
        raise Refused(_("There is no such entry."), 404)
    return found


def entries(programme: Programme, since: dt.date | None = None) -> list[ProgrammeEntry]:
    """Lines that count, the newest first."""
    rows = ProgrammeEntry.objects.filter(programme=programme)
    gone = set(rows.exclude(supersedes=None).values_list("supersedes", flat=True))
    if since is not None:
        rows = rows.filter(day__gte=since)
    found = rows.exclude(kind="struck").select_related("place").order_by("-day", "-written_at")
    return [row for row in found if row.pk not in gone]


def deeds(rows: Iterable[ProgrammeEntry]) -> list[Deed]:
    """What the figures count."""
    return [Deed(row.kind, row.day, numbers(row.body)) for row in rows]


def facts_in(programme: Programme) -> list[PlaceFacts]:
    """Facts of every place of a programme, with what its rounds changed there."""
    return all_facts(programme, today(programme))


_mornings: OrderedDict[str, tuple[tuple[object, ...], Morning, list[PlaceFacts]]] = OrderedDict()
_OLDEST = dt.timedelta(days=3660)  # a line of the log may be entered so late
_FORESEEN = dt.timedelta(days=60)  # so far ahead a round may be planned
_MORNINGS = 20  # programmes whose morning this process keeps


def morning_of(programme: Programme) -> tuple[Morning, list[PlaceFacts]]:
    """A programme's morning and the facts behind it: reckoned anew only where a place's facts, the
    places, the programme's log, the stock at the hub or the day are others than last time."""
    there = ProgrammePlace.objects.filter(programme=programme, left=None)
    rows = PlaceSummary.objects.filter(place_id__in=there.values("place_id"))
    newest = rows.aggregate(many=Count("pk"), last=Max("made_at"), seqs=Sum("seq"))
    coming = there.aggregate(places=Count("pk"), entries=Sum("place__last_seq"))
    own = ProgrammeEntry.objects.filter(programme=programme)
    lines = own.aggregate(lines=Count("pk"), written=Max("written_at"))
    stamp = (
        *(*newest.values(), *coming.values(), *lines.values()),
        *(programme.bran_kg, today(programme)),
    )
    kept = _mornings.get(programme.pk)
    if kept is None or kept[0] != stamp:
        facts = facts_in(programme)
        found = morning(facts, programme.bran_kg, today(programme), drawn())
        kept = _mornings[programme.pk] = (stamp, found, facts)
        while len(_mornings) > _MORNINGS:
            _mornings.popitem(last=False)
    return kept[1], kept[2]


def where(programme: Programme) -> dict[str, Where]:
    """Where each place lies, its hours."""
    rows = ProgrammePlace.objects.filter(programme=programme, left=None)
    return {
        row.place_id: Where(
            None if row.latitude is None or row.longitude is None
            else (row.latitude, row.longitude),
            0 if row.opens is None else seconds(row.opens),
            24 * 3600 if row.closes is None else seconds(row.closes),
            row.how,
        )
        for row in rows
    }  # fmt: skip


def seconds(clock: dt.time) -> int:
    """A time of day as seconds."""
    return clock.hour * 3600 + clock.minute * 60


def plan(person: User, programme: Programme, on: dt.date) -> Round:
    """Plan the round of a day that comes and keep it. Refused (422) without a hub on the map."""
    must_in_programme(person, programme.pk, "plan round")
    _within(on, today(programme), today(programme) + _FORESEEN)
    return plan_for(programme, on)


def plan_for(programme: Programme, on: dt.date) -> Round:
    """The same without asking who wants it."""
    if programme.latitude is None or programme.longitude is None:
        raise Refused(_("Say first where the hub lies."), 422)
    now = today(programme)
    found_today, facts = morning_of(programme)
    helped = found_today.help
    van = Van(
        (programme.latitude, programme.longitude),
        programme.hub or programme.name,
        programme.room,
        programme.payload_kg,
        seconds(programme.starts),
        seconds(programme.ends),
    )
    found = plan_round(calls(facts, helped, where(programme), now, on), van, drawn())
    ProgrammeRound.objects.update_or_create(
        programme=programme, day=on, defaults={"plan": round_as_json(found)}
    )
    return found


def next_round(programme: Programme) -> tuple[dt.date, Round] | None:
    """The round that was planned for today or the nearest day after it."""
    rows = ProgrammeRound.objects.filter(programme=programme, day__gte=today(programme))
    found = rows.order_by("day").first()
    try:
        return None if found is None else (found.day, read_round(found.plan))
    except ValueError:  # kept by an older version
        return None


def round_on(programme: Programme, day: dt.date) -> Round | None:
    """The round of one day, None if none was planned."""
    found = ProgrammeRound.objects.filter(programme=programme, day=day).first()
    try:
        return None if found is None else read_round(found.plan)
    except ValueError:
        return None


def names_of(place: str) -> list[tuple[str, str]]:
    """Programmes that see a place: id and name."""
    rows = ProgrammePlace.objects.filter(place_id=place, left=None)
    return list(rows.order_by("programme__name").values_list("programme_id", "programme__name"))
