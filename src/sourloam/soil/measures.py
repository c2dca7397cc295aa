"""What the march means in the garden: concentrations, salt, nutrients, warnings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.soil import kinetics
from sourloam.soil.air import SECONDS_PER_DAY
from sourloam.soil.ground import Make
from sourloam.soil.prepare import free_ammonia_share
from sourloam.soil.readiness import Conditions, tolerance
from sourloam.soil.trench import Burial, Place, Tub

Array = NDArray[np.float64]
_TELLING_SHARE = 0.1
_SPHERE = 15  # method: mean of the steady parabola in a sphere


@dataclass(frozen=True)
class Run:
    """One march with all it was made from; ``run["nitrate"]`` is a column, (members, days)."""

    burial: Burial | Tub
    make: Make
    place: Place
    rates: kinetics.Rates
    start: Array
    out: Array
    extra: Array
    celsius: Array
    warm: Array
    lump_radius_m: Array
    p: Parameters

    def __getitem__(self, column: str) -> Array:
        return np.asarray(self.out[:, :, kinetics.STATE.index(column)])

    def first(self, column: str) -> Array:
        """A column of the state on the day of burial, in its unit, (members, 1)."""
        return np.asarray(self.start[:, kinetics.STATE.index(column)][:, None])

    @property
    def ph(self) -> Array:
        """pH of the zone, (members, days)."""
        return np.asarray(self.extra[:, :, 0])


def acids_mmol_per_kg(run: Run) -> Array:
    """Acids of the zone and of the lumps in it, butyric weighted, mmol per kg dry soil,
    ``(members, days)``."""
    weight = run.p["soil.limit.butyric_weight"][:, None]
    mol = run["lactic"] + run["acetic"] + weight * run["butyric"] + _lumps(run)
    return np.asarray(1000 * mol / run.place.soil_kg[:, None])


def _lumps(run: Run) -> Array:
    """Acetic acid inside lumps, mol: made without oxygen there, on its way out by diffusion.

    Steady sphere: mean concentration = production x radius^2 / (15 diffusivity). Its carbon is
    still counted as decomposable matter.
    """
    p, r = run.p, run.rates
    made = r.airless * r.acetate_carbon * r.dpm / (2 * r.carbon_kg_per_mol)
    stay_d = run.lump_radius_m**2 / (_SPHERE * p["soil.lump.diffusivity"] * SECONDS_PER_DAY)
    return np.asarray((made * stay_d)[:, None] * run.warm * run["dpm"])


def ammonia_mg_n_per_kg(run: Run) -> Array:
    """Free ammonia, mg N per kg dry soil, ``(members, days)``."""
    share = free_ammonia_share(run.ph, run.celsius, run.p)
    return np.asarray(1e6 * share * run["ammonium"] / run.place.soil_kg[:, None])


def ece_ds_m(run: Run, soil_kg: Array) -> Array:
    """ECe, dS/m, ``(members, days)``, from the charge of what is dissolved in the paste of
    ``soil_kg`` ``(members,)``: lasting salt, nitrate gained, acid anions."""
    r = run.rates
    anions = sum(
        run[name] / (1 + 10 ** (pka[:, None] - run.ph))
        for name, pka in (
            ("lactic", r.pka_lactic),
            ("acetic", r.pka_acetic),
            ("butyric", r.pka_butyric),
        )
    )
    nitrate = (run["nitrate"] - run.first("nitrate")) / r.nitrogen_kg_per_mol[:, None]
    litres = (soil_kg * run.make.paste_water)[:, None]
    charge = 1000 * (run["salt"] + nitrate + anions) / litres
    added = charge / run.p["soil.charge_per_ec"][:, None]
    return np.maximum(run.make.ece[:, None] + added, 0.0)


def share_for_beds(before: Array, after: Array, p: Parameters) -> Array:
    """Share of a soil of ECe ``after`` in one of ECe ``before``, dS/m, ``(members,)``, that
    sensitive crops bear."""
    room = np.maximum(p["soil.salt_worrying"] - before, 0.0)
    gain = after - before
    return np.where(gain > room, room / np.where(gain > 0, gain, 1.0), 1.0)


def minerals_kg(run: Run) -> tuple[Array, Array]:
    """Phosphorus and potassium that plants can take, kg of the whole batch, ``(members, days)``:
    phosphorus is freed with the carbon of the plant matter, potassium is there at once."""
    p, ferment = run.p, run.burial.ferment
    matter = (run["dpm"] + run["rpm"]) / (run.first("dpm") + run.first("rpm"))
    once = p["soil.phosphorus.at_once"][:, None]
    phosphorus = (ferment.phosphorus_kg * np.ones(p.members))[:, None] * (
        once + (1 - once) * (1 - matter)
    )
    potassium = (ferment.potassium_kg * p["soil.potassium.available"])[:, None]
    return np.asarray(phosphorus), np.broadcast_to(potassium, phosphorus.shape).copy()


def carbon_left_kg(run: Run) -> Array:
    """Carbon of the batch still in the soil, kg per m, ``(members, days)``."""
    kc = run.rates.carbon_kg_per_mol[:, None]
    acids = kc * (3 * run["lactic"] + 2 * run["acetic"] + 4 * run["butyric"])
    pools = sum(run[name] for name in ("dpm", "rpm", "grown", "bio", "hum"))
    return np.asarray(acids + pools)


def warnings(
    run: Run, ground: Conditions, given_n: Array, sow: Array, airless: Array
) -> tuple[tuple[str, float], ...]:
    """(code, share of members) for what a tenth of the members and more run into."""
    p, limits = run.p, tolerance("seed", run.p)
    found = {
        "acid_ph": (run.ph < p["soil.acid_ph_worrying"][:, None]).any(axis=1),
        "airless": airless > p["soil.airless.worrying"],
        "ammonia": (ground.ammonia_mg_n_per_kg > limits.ammonia_mg_n_per_kg[:, None]).any(axis=1),
        "salt": ground.ece_ds_m[:, -1] > p["soil.salt_worrying"],
        "locked_up": (given_n < 0).any(axis=1),
        "beyond": np.isinf(sow),
    }
    shares = ((code, float(np.mean(hit))) for code, hit in found.items())
    return tuple((code, share) for code, share in shares if share >= _TELLING_SHARE)
