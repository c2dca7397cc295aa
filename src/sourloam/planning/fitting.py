"""Which kinds of vessel are large enough for a place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from sourloam.evidence import book
from sourloam.planning.case import Case, Kind
from sourloam.planning.filling import Filled


def full_too_soon(filled: Filled) -> bool:
    """Whether the middle member fills a vessel sooner than is worth calling layers."""
    return bool(np.median(filled.full_day) < book()["planning.least_fill"].value)


def without_small(
    case: Case, filled: Mapping[str, Filled]
) -> tuple[Case, tuple[tuple[Kind, Filled], ...]]:
    """The case without the kinds that are full too soon, and those with their filling.

    ``filled``: one filling of each kind, by name. Where every kind is too small all are kept:
    the plan then says what they would take.
    """
    small = [kind for kind in case.kinds if full_too_soon(filled[kind.vessel.name])]
    if len(small) == len(case.kinds):
        return case, ()
    kept = tuple(kind for kind in case.kinds if kind not in small)
    return replace(case, kinds=kept), tuple((kind, filled[kind.vessel.name]) for kind in small)
