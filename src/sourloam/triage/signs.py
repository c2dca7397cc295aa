"""The register of signs, and which of them cannot go together."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType

from sourloam.triage.sign import GROUPS, Sign, Stage
from sourloam.triage.signs_done import DONE_SIGNS
from sourloam.triage.signs_ground import GROUND_SIGNS
from sourloam.triage.signs_vessel import VESSEL_SIGNS

SIGNS: Mapping[str, Sign] = MappingProxyType(
    {sign.id: sign for sign in (*VESSEL_SIGNS, *DONE_SIGNS, *GROUND_SIGNS)}
)
#: Two signs of one pair cannot both be true of one vessel or one bed.
CLASHES: tuple[frozenset[str], ...] = tuple(
    frozenset(pair)
    for pair in (
        ("sour_smell", "weak_smell"),
        ("weak_smell", "rotten_smell"),
        ("weak_smell", "rancid_smell"),
        ("weak_smell", "sharp_vinegar_smell"),
        ("weak_smell", "ammonia_smell"),
        ("dry_crumbly", "drips"),
        ("dry_crumbly", "slimy"),
        ("dry_crumbly", "liquid_stands"),
        ("no_liquid", "much_liquid"),
        ("foul_liquid", "dark_liquid"),
        ("foul_liquid", "coloured_liquid"),
        ("frozen", "warm"),
        ("stands_cold", "stands_hot"),
        ("sweet_scraps", "poor_scraps"),
        ("earth_smell", "soil_smells"),
        ("earth_smell", "ammonia_in_soil"),
    )
)


_SHOWN = 40  # method: as much of a wrong word as one line bears


class SignError(ValueError):
    """Signs that were named wrongly; the message is one line for people."""


def stage_of(signs: Collection[str], otherwise: Stage = "vessel") -> Stage:
    """The stage that signs speak of; SignError for an unknown sign or for both stages at once."""
    unknown = sorted(set(signs) - set(SIGNS))
    if unknown:
        raise SignError(f"{unknown[0][:_SHOWN]}: no such sign{_nearest(unknown[0])}")
    stages = {SIGNS[sign].stage for sign in signs}
    if len(stages) > 1:
        vessel = next(s for s in sorted(signs) if SIGNS[s].stage == "vessel")
        ground = next(s for s in sorted(signs) if SIGNS[s].stage == "ground")
        raise SignError(
            f"{vessel} is a sign of a vessel, {ground} one of the ground: ask about one at a time"
        )
    return stages.pop() if stages else otherwise


def asked_outright(stage: str) -> tuple[Sign, ...]:
    """Signs that people may choose from at first, by group; what was done is asked only later."""
    found = (s for s in SIGNS.values() if s.stage == stage and s.effort != "told")
    return tuple(sorted(found, key=lambda sign: GROUPS.index(sign.group)))


def clashing(seen: Collection[str]) -> tuple[tuple[str, str], ...]:
    """Pairs of signs, each pair and the list sorted, that were seen but exclude each other."""
    found = {tuple(sorted(pair)) for pair in CLASHES if pair <= set(seen)}
    choices = sorted(sign for sign in seen if SIGNS[sign].choice)
    found |= {
        (a, b)
        for i, a in enumerate(choices)
        for b in choices[i + 1 :]
        if SIGNS[a].choice == SIGNS[b].choice
    }
    return tuple(sorted((a, b) for a, b in found))


def _nearest(wrong: str) -> str:
    from difflib import get_close_matches

    near = get_close_matches(wrong, SIGNS, n=1)
    return f"; nearest is {near[0]}" if near else ""
