"""Batches from masses of classes, bran with its living cells, and what a batch adds up to."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters
from sourloam.scraps.batch import INDEX, MASSES, Batch
from sourloam.scraps.classes import CARRIERS, composition

_CARBON = ("sugars", "starch", "fibre", "protein", "fat", "acids", "other")
_PERCENT = 100
_GRAMS_PER_KG = 1000


def mix(mass_kg: ArrayLike, table: Batch) -> Batch:
    """Batch of ``mass_kg`` (..., classes) of the classes of ``table`` (members, classes, COLUMNS).

    Leading axes of the masses broadcast against members. Every column is conserved: it is the
    sum over classes of mass times content. ValueError for masses below 0 or not one a class.
    """
    mass = np.asarray(mass_kg, dtype=np.float64)
    if mass.shape[-1] != table.amounts.shape[-2]:
        raise ValueError(f"{mass.shape[-1]} masses for {table.amounts.shape[-2]} classes")
    if not np.all(mass >= 0):
        raise ValueError("masses must not be below 0")
    return Batch((mass[..., None] * table.amounts).sum(axis=-2))


def bran_batch(
    mass_kg: ArrayLike,
    carrier: str,
    log10_cfu_per_g: ArrayLike | None,
    parameters: Parameters,
) -> Batch:
    """Inoculated bran: amounts (members, ..., COLUMNS) for ``mass_kg`` (members, ...) or a float.

    ``log10_cfu_per_g`` is the count of living lactic bacteria today, None for a well-kept
    bran's. Raises KeyError for a carrier not in ``CARRIERS``.
    """
    if carrier not in CARRIERS:
        raise KeyError(carrier)
    per_kg = composition((carrier,), parameters).amounts[:, 0, :]
    if log10_cfu_per_g is not None:
        count = 10.0 ** np.asarray(log10_cfu_per_g, dtype=np.float64)
        per_kg[:, INDEX["lactic_cfu"]] = count * _GRAMS_PER_KG
    mass = np.asarray(mass_kg, dtype=np.float64)
    mass = np.broadcast_to(mass, (parameters.members, *mass.shape[1:]))
    shape = (parameters.members, *(1,) * (mass.ndim - 1), per_kg.shape[-1])
    return Batch(mass[..., None] * per_kg.reshape(shape))


def carbon_kg(batch: Batch, parameters: Parameters) -> NDArray[np.float64]:
    """Organic carbon, kg, of a batch whose first axis is members (that of chalk is left out)."""
    return np.asarray(
        sum(_along(parameters[f"scraps.carbon.{name}"], batch[name]) for name in _CARBON)
    )


def nitrogen_kg(batch: Batch, parameters: Parameters) -> NDArray[np.float64]:
    """Nitrogen, kg, of a batch whose first axis is members: by definition 0.16 of the protein, as
    the food tables reckon protein."""
    return _along(parameters["scraps.nitrogen_of_protein"], batch["protein"])


def sugar_buffer_index(batch: Batch, parameters: Parameters) -> NDArray[np.float64]:
    """Fermentability coefficient: dry matter in percent plus 8 times sugar over buffering.

    Of a batch whose first axis is members. Both per kg dry matter; buffering as the lactic acid
    that brings the batch to pH 4. Below about 35 a fermentation is hard, above 45 easy; infinite
    where the batch is that sour already. Silage science: Weissbach et al.
    """
    end_ph = _along(parameters["scraps.sugar_buffer.end_ph"], np.ones_like(batch["buffer"]))
    acid_mol = np.maximum(batch["buffer_ph"] - batch["buffer"] * end_ph, 0)
    acid_kg = _along(parameters["scraps.sugar_buffer.lactic_molar_mass"], acid_mol)
    needs_acid = acid_kg > 0
    sugar_over_acid = np.full(acid_kg.shape, np.inf)
    np.divide(batch["sugars"], acid_kg, out=sugar_over_acid, where=needs_acid)
    dry_percent = _PERCENT * batch.dry_kg / batch.amounts[..., : len(MASSES)].sum(axis=-1)
    return np.asarray(
        dry_percent + _along(parameters["scraps.sugar_buffer.weight"], sugar_over_acid)
    )


def _along(values: NDArray[np.float64], amount: NDArray[np.float64]) -> NDArray[np.float64]:
    """Product of one value a member with amounts whose first axis is members."""
    return np.asarray(values.reshape(-1, *(1,) * (amount.ndim - 1)) * amount)
