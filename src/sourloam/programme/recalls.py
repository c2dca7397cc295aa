"""Bran that another place of the programme recalled or found failed: it counts as good nowhere."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from sourloam.programme.facts import LotFacts, LotWarning, PlaceFacts

Warned = Mapping[str, Sequence[tuple[str, LotWarning]]]  # by lot, each with the place's id


def by_lot(told: Iterable[tuple[str, Iterable[LotWarning]]]) -> Warned:
    """What places, each by its id, warn of."""
    found: dict[str, list[tuple[str, LotWarning]]] = defaultdict(list)
    for place, warnings in told:
        for one in warnings:
            found[one.lot].append((place, one))
    return found


def heeding(one: PlaceFacts, warned: Warned) -> PlaceFacts:
    """A place without the bran of which others warn; a recall holds, a failed test until one of
    living cells has passed at the place since."""
    if one.bran is None:
        return one
    barred = math.fsum(lot.kg for lot in one.bran.lots if _barred(lot, one.id, warned))
    if not barred:
        return one
    return replace(one, bran=replace(one.bran, left_kg=max(one.bran.left_kg - barred, 0.0)))


def _barred(lot: LotFacts, place: str, warned: Warned) -> bool:
    return any(
        one.recalled or lot.passed is None or lot.passed < one.on
        for there, one in warned.get(lot.id, ())
        if there != place
    )
