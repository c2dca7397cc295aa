"""From batches and parameters to the arrays of the compiled kernel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.scraps.batch import Batch
from sourloam.vessel.acidity import davies_log10, stretched
from sourloam.vessel.chemistry import MolarMasses, molar_masses
from sourloam.vessel.feeding import Pieces
from sourloam.vessel.layout import LAYER, PARAMETERS, SOLUTES, STATE
from sourloam.vessel.packing import WEIGHED

Array = NDArray[np.float64]
_DAVIES_MOST = 0.5  # method: mol/kg, end of the validity of the Davies equation
_WATER_MOST = 0.9  # method: no layer drains dry
#: Places (in standard deviations) and weights that stand for a normal distribution.
_NORMAL_POINTS = ((-(3**0.5), 1 / 6), (0.0, 2 / 3), (3**0.5, 1 / 6))  # method: Gauss-Hermite
_INERT = ("fibre", "fat", "acids", "other", "ash")
#: Evidence that this room needs: prefixes of ids.
EVIDENCE = (
    "acids", "flora", "ferment", "vessel", "liquid", "scraps.carbon", "scraps.nitrogen_of_protein",
)  # fmt: skip


@dataclass(frozen=True)
class Kernel:
    """Arrays for the kernel: ``start`` (..., STATE), ``make_up`` (..., LAYER), ``par``."""

    start: Array
    make_up: Array
    par: Array
    masses: MolarMasses
    protein_kg: float


def prepare(batch: Batch, parameters: Parameters, pieces: Pieces, drains: Array | None) -> Kernel:
    """Start states of layers, amounts (members, layers, columns) -> arrays for the kernel.

    ``drains``: kg of water that each layer will let go in the end, (members, layers).
    """
    masses = molar_masses(parameters)
    protein_kg = masses.nitrogen / float(parameters["scraps.nitrogen_of_protein"][0])
    start = _start(batch, parameters, pieces, masses, protein_kg)
    if drains is not None:
        start[..., STATE.index("seepage")] = drains
    return Kernel(
        start, _make_up(batch, parameters, pieces), _rows(parameters, masses), masses, protein_kg
    )


def _rows(parameters: Parameters, masses: MolarMasses) -> Array:
    columns = [parameters[name] for name in PARAMETERS]
    fixed = (masses.water, 1000.0 * masses.hexose)
    columns += [np.full(parameters.members, value) for value in fixed]
    return np.ascontiguousarray(np.stack(columns, axis=1))


def _start(
    batch: Batch, parameters: Parameters, pieces: Pieces, masses: MolarMasses, protein_kg: float
) -> Array:
    state = np.zeros((*batch.amounts.shape[:-1], len(STATE)))
    locked = parameters[f"ferment.locked.{pieces}"][:, None]
    hexose = batch["sugars"] / masses.hexose
    early = _early_cfu(batch, parameters)
    filled = {
        "water": batch["water"],
        "sugar": hexose * (1 - locked),
        "locked": hexose * locked,
        "starch": batch["starch"] / masses.starch,
        "organic_n": batch["protein"] / protein_kg,
        "lactic_cfu": batch["lactic_cfu"] - early,
        "early_cfu": early,
        "entero_cfu": batch["entero_cfu"],
        "clostridia": np.broadcast_to(parameters["flora.clostridia.start"][:, None], hexose.shape),
    }
    for name, value in filled.items():
        state[..., STATE.index(name)] = value
    return state


def _make_up(batch: Batch, parameters: Parameters, pieces: Pieces) -> Array:
    fresh, water = batch.fresh_kg, batch["water"]
    with np.errstate(divide="ignore", invalid="ignore"):
        dry_share = 1 - water / fresh
        sugar_share = batch["sugars"] / batch.dry_kg
        loose = fresh / batch["loose_volume"]
        strength = _ions(batch, parameters) / water
    columns = {
        "fresh": fresh,
        "buffer": batch["buffer"],
        "buffer_rest": _buffer_rest(batch, parameters),
        **_constants(strength, parameters),
        "lactic_water_factor": _water_factor(batch, strength, parameters),
        "critical_ph": parameters["ferment.critical_ph.base"][:, None]
        + parameters["ferment.critical_ph.slope"][:, None] * dry_share,
        "yeast_share": _yeast_share(sugar_share, parameters),
        "inert": sum(batch[name] for name in _INERT),
        "loose_density": loose,
        "release": np.broadcast_to(
            parameters[f"ferment.release.{pieces}"][:, None] / 24, fresh.shape
        ),
    }
    stacked = np.stack([np.broadcast_to(columns[name], fresh.shape) for name in LAYER], axis=-1)
    return np.ascontiguousarray(np.where(fresh[..., None] > 0, stacked, 0.0))


def _early_cfu(batch: Batch, parameters: Parameters) -> Array:
    """Of the lactic bacteria brought, those of the early group: a share of the crop's own flora."""
    most = 1000 * parameters["flora.early.own"][:, None] * batch.fresh_kg
    return parameters["flora.early.share"][:, None] * np.minimum(batch["lactic_cfu"], most)


def _buffer_rest(batch: Batch, parameters: Parameters) -> Array:
    """Charge of the buffer at the pH of the fresh mix, mol."""
    with np.errstate(divide="ignore", invalid="ignore"):
        ph = batch.ph
    rise = [parameters[f"ferment.{name}"][:, None] for name in ("buffer_rise", "buffer_rise_from")]
    return np.asarray(batch["buffer"] * stretched(ph, *rise))


def _ions(batch: Batch, parameters: Parameters) -> Array:
    """mol of K+ and Na+; with as many anions this over kg of water is the ionic strength."""
    return (
        batch["K"] / parameters["acids.mass.potassium"][:, None]
        + batch["Na"] / parameters["acids.mass.sodium"][:, None]
    ) * 1000


def _constants(strength: Array, parameters: Parameters) -> dict[str, Array]:
    """Conditional dissociation constants at the layer's ionic strength (at most 0.5 mol/kg)."""
    activity = davies_log10(
        np.minimum(strength, _DAVIES_MOST),
        parameters["acids.davies.slope"][:, None],
        parameters["acids.davies.linear"][:, None],
    )

    def constant(name: str, charge: float) -> Array:
        return np.asarray(10.0 ** -(parameters[name][:, None] + charge * activity))

    return {
        "k_lactic": constant("acids.pka.lactic", 1.0),
        "k_acetic": constant("acids.pka.acetic", 1.0),
        "k_butyric": constant("acids.pka.butyric", 1.0),
        "k_ammonium": constant("acids.pka.ammonium", -1.0),
        "k_water": constant("acids.pkw", 0.0),
    }


def _water_factor(batch: Batch, strength: Array, parameters: Parameters) -> Array:
    """Growth left to lactic bacteria by water activity, by Raoult's law over sugars and ions."""
    sugar_g = parameters["flora.sugar_molar_mass"][:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        solutes = 1000 * batch["sugars"] / sugar_g / batch["water"] + 2 * strength
    activity = 1 / (1 + solutes * molar_masses(parameters).water)
    least = parameters["flora.lactic.water_activity_min"][:, None]
    return np.clip((activity - least) / (1 - least), 0.0, 1.0)


def _yeast_share(sugar_share: Array, parameters: Parameters) -> Array:
    start = parameters["ferment.sugary_from"][:, None]
    full = parameters["ferment.sugary_full"][:, None]
    sugary = np.clip((sugar_share - start) / (full - start), 0.0, 1.0)
    plain = parameters["ferment.yeast_share"][:, None]
    return plain + (parameters["ferment.yeast_share_sugary"][:, None] - plain) * sugary


def solute_kg(masses: MolarMasses) -> Array:
    """kg/mol of the solutes that drain, in the kernel's order."""
    return np.array([_molar(STATE[i], masses, 0.0) for i in SOLUTES])


def weighed_kg(masses: MolarMasses, protein_kg: float) -> Array:
    """kg/mol of the state columns that weigh, in the kernel's order."""
    return np.array([_molar(STATE[i], masses, protein_kg) for i in WEIGHED])


def _molar(column: str, masses: MolarMasses, protein_kg: float) -> float:
    if column == "organic_n":
        return protein_kg
    if column == "residue":
        return protein_kg - masses.ammonia
    name = "hexose" if column in ("sugar", "locked") else column
    return float(getattr(masses, name))


def drain_potential_kg(day: Array, batch: Batch, parameters: Parameters) -> Array:
    """Water that each layer lets go in the end, kg, from the dry matter of the layers near it.

    ``day`` (layers,), batch (members, layers, columns) -> (members, layers). Source: the
    ``liquid.yield`` rows; layers within ``liquid.window`` days share their water. What a kitchen
    throws away differs from day to day more than its mean mix tells: the yield is the mean over
    a normal spread of dry matter, the smaller the more layers share.
    """
    window = float(parameters["liquid.window"][0])
    near = (np.abs(day[:, None] - day[None, :]) <= window).astype(np.float64)
    fresh, dry = batch.fresh_kg @ near, batch.dry_kg @ near
    sharing = np.maximum((batch.fresh_kg > 0) @ near, 1.0)
    spread = parameters["liquid.day_spread"][:, None] / np.sqrt(sharing)
    with np.errstate(divide="ignore", invalid="ignore"):
        dry_g_per_kg = np.where(fresh > 0, 1000 * dry / fresh, 1000.0)
    litres_per_kg = sum(
        weight * _yield_ml_per_kg(dry_g_per_kg + place * spread, parameters) / 1000
        for place, weight in _NORMAL_POINTS
    )
    wanted = litres_per_kg * parameters["liquid.yield_factor"][:, None] * batch.fresh_kg
    return np.asarray(np.minimum(wanted, _WATER_MOST * batch["water"]))


def _yield_ml_per_kg(dry_g_per_kg: Array, parameters: Parameters) -> Array:
    ids = sorted((k for k in parameters if k.startswith("liquid.yield.d")), key=_dry_of)
    knots = np.array([_dry_of(k) for k in ids])
    values = np.array([parameters[k][0] for k in ids])
    return np.asarray(np.interp(dry_g_per_kg, knots, values))


def _dry_of(evidence_id: str) -> float:
    return float(evidence_id.rsplit(".d", 1)[1])
