"""Who may do what: one table, ROLE x ACTION, and the question asked of it everywhere.

Kinds of entry come from the ledger's register; to write one is the action ``write KIND``.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from django.contrib.auth.models import AbstractBaseUser, AnonymousUser
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from sourloam.ledger import KINDS, ROLES
from sourloam.logbook.models import Membership, ProgrammeMember
from sourloam.logbook.models.programme import LINK_ROLES, PROGRAMME_ROLES
from sourloam.logbook.refusals import Refused

Person = AbstractBaseUser | AnonymousUser
_ALL = frozenset(ROLES)
_GARDENERS = frozenset({"coordinator", "keeper", "gardener"})
_KEEPERS = frozenset({"coordinator", "keeper"})
_COORDINATOR = frozenset({"coordinator"})

TABLE: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "see": _ALL,
        "send photo": _GARDENERS,
        "change place": _COORDINATOR,
        "take out": _KEEPERS,
        "bring in": _COORDINATOR,
        "make token": _COORDINATOR,
        "invite coordinator": _COORDINATOR,
        "invite keeper": _COORDINATOR,
        "invite gardener": _KEEPERS,
        "invite reader": _KEEPERS,
        "withdraw coordinator": _COORDINATOR,
        "withdraw keeper": _COORDINATOR,
        "withdraw gardener": _KEEPERS,
        "withdraw reader": _KEEPERS,
    }
    | {f"write {kind.name}": kind.roles for kind in KINDS.values()}
)
_HELPERS = frozenset({"coordinator", "helper"})
#: The same for programmes of places: coordinator, helper, reader.
PROGRAMME_TABLE: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "see": frozenset(PROGRAMME_ROLES),
        "write": _HELPERS,
        "plan round": _HELPERS,
        "change programme": _COORDINATOR,
        "add place": _COORDINATOR,
        "let place go": _COORDINATOR,
        "make token": _COORDINATOR,
    }
    | {f"invite {role}": _COORDINATOR for role in LINK_ROLES}
    | {f"withdraw {role}": _COORDINATOR for role in PROGRAMME_ROLES}
)
#: Scopes of tokens for programs, each with the highest role that such a token acts with.
SCOPES: Mapping[str, str] = MappingProxyType(
    {"read": "reader", "log": "keeper", "manage": "coordinator"}
)
#: The same for programmes.
PROGRAMME_SCOPES: Mapping[str, str] = MappingProxyType(
    {"read": "reader", "log": "helper", "manage": "coordinator"}
)
_READING = ("see", "take out")
_OF_PEOPLE = ("invite", "withdraw")
_NEVER_BY_TOKEN = "make token"


def may(role: str | None, action: str) -> bool:
    """Whether a role holds an action; KeyError for an action that the table does not know."""
    return role in TABLE[action]


def lower_of(role: str, most: str) -> str:
    """The lower one of two roles."""
    return ROLES[max(ROLES.index(role), ROLES.index(most))]


def may_by_token(role: str, scope: str, action: str) -> bool:
    """Whether a token of a scope holds an action, where its maker has a role today."""
    if not may(role, action) or action == _NEVER_BY_TOKEN:
        return False
    if action in _READING:
        return True
    if action.startswith(_OF_PEOPLE):
        return scope == "manage"
    return may(lower_of(role, SCOPES[scope]), action)


def memberships(person: Person) -> QuerySet[Membership]:
    """A person's standing memberships, with their places."""
    return _standing(person).select_related("place").order_by("place__name", "place_id")


def _standing(person: Person) -> QuerySet[Membership]:
    if not person.is_authenticated or not person.is_active:
        return Membership.objects.none()
    return Membership.objects.filter(person_id=person.pk, withdrawn_at=None)


def role_of(person: Person, place: str) -> str | None:
    """The role of a person in a place; None for strangers and those who were withdrawn."""
    if not place.isprintable():  # some stores refuse to look for what is not
        return None
    mine = _standing(person).filter(place_id=place).values_list("role", flat=True)
    return next(iter(mine[:1]), None)


def must(person: Person, place: str, action: str) -> str:
    """The person's role, which holds the action; Refused with 404 for strangers, else 403."""
    role = role_of(person, place)
    if role is None:
        raise Refused(_("There is no such place for you."), 404)
    if not may(role, action):
        raise Refused(_("You may not do that here."))
    return role


def roles_to(verb: str, role: str | None) -> tuple[str, ...]:
    """Roles that somebody of a role may ``invite`` or ``withdraw``."""
    return tuple(one for one in ROLES if may(role, f"{verb} {one}"))


def programmes_of(person: Person) -> QuerySet[ProgrammeMember]:
    """A person's standing roles in programmes."""
    if not person.is_authenticated or not person.is_active:
        return ProgrammeMember.objects.none()
    found = ProgrammeMember.objects.filter(person_id=person.pk, withdrawn_at=None)
    return found.select_related("programme").order_by("programme__name", "programme_id")


def may_in_programme(role: str | None, action: str) -> bool:
    """Whether a role in a programme holds an action; KeyError for one that nobody wrote down."""
    return role in PROGRAMME_TABLE[action]


def lower_in_programme(role: str, most: str) -> str:
    """The lower one of two roles in a programme."""
    return PROGRAMME_ROLES[max(PROGRAMME_ROLES.index(role), PROGRAMME_ROLES.index(most))]


def may_in_programme_by_token(role: str, scope: str, action: str) -> bool:
    """Whether a token of a scope holds an action where its maker has a role today."""
    if action == _NEVER_BY_TOKEN:
        return False
    lower = lower_in_programme(role, PROGRAMME_SCOPES[scope])
    return may_in_programme(role, action) and may_in_programme(lower, action)


def must_in_programme(person: Person, programme: str, action: str) -> str:
    """The person's role, which holds the action; Refused with 404 for strangers, else 403."""
    found = programmes_of(person).filter(programme_id=programme) if programme.isprintable() else ()
    role = next((member.role for member in found), None)
    if role is None:
        raise Refused(_("There is no such programme for you."), 404)
    if not may_in_programme(role, action):
        raise Refused(_("You may not do that here."))
    return role
