"""Mixes of classes: usual ones for those who have not sorted their scraps, or as stated."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters, book
from sourloam.scraps.classes import CLASSES

#: Names that ``preset`` takes.
PRESETS = ("trimmings", "household", "plate_waste", "cafe", "restaurant", "school_lunch", "garden")


def preset(name: str, parameters: Parameters) -> NDArray[np.float64]:
    """Shares of fresh mass (members, classes), each member adding up to 1.

    The shares are drawn apart and scaled to 1; a class without a row has none. KeyError for a
    name not in ``PRESETS``.
    """
    if name not in PRESETS:
        raise KeyError(name)
    shares = np.zeros((parameters.members, len(CLASSES)))
    for key in book().ids(f"scraps.preset.{name}"):
        shares[:, CLASSES.index(key.rsplit(".", 1)[1])] = parameters[key]
    return np.asarray(shares / shares.sum(axis=-1, keepdims=True))


def class_shares(mix: str | Mapping[str, float], parameters: Parameters) -> NDArray[np.float64]:
    """Shares of fresh mass (members, classes), each member adding up to 1.

    ``mix`` is a preset's name or shares by class, which are scaled to 1. KeyError for a name not
    in ``PRESETS``.
    """
    if isinstance(mix, str):
        return preset(mix, parameters)
    row = np.array([mix.get(name, 0.0) for name in CLASSES])
    return np.broadcast_to(row / row.sum(), (parameters.members, len(row))).copy()
