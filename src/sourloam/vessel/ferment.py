"""What is in a vessel and what came out of it, in kg, from the states of its layers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.scraps.batch import Batch
from sourloam.vessel.acidity import solve_ph
from sourloam.vessel.chemistry import MolarMasses
from sourloam.vessel.layout import L_BUFFER, L_BUFFER_REST, L_K, L_K_END, STATE
from sourloam.vessel.packing import WEIGHED
from sourloam.vessel.prepare import Kernel, weighed_kg

Array = NDArray[np.float64]
_CARBONS = {
    "sugar": 6, "locked": 6, "starch": 6, "lactic": 3, "acetic": 2, "ethanol": 2, "butyric": 4,
    "mannitol": 6, "propanediol": 3,
}  # fmt: skip
_TINY = 1e-12  # method: no division by nought
_PRODUCTS = ("lactic", "acetic", "ethanol", "butyric", "mannitol", "propanediol")
_INERT = ("fibre", "fat", "acids", "other")
_MINERALS = {"P": "p", "K": "k", "Na": "na", "Ca": "ca"}


@dataclass(frozen=True)
class Ferment:
    """Contents of a vessel; every field is an array (members,)."""

    fresh_kg: Array
    dry_kg: Array
    water_kg: Array
    lactic_kg: Array
    acetic_kg: Array
    butyric_kg: Array
    ethanol_kg: Array
    carbon_kg: Array
    nitrogen_kg: Array
    ammonium_nitrogen_kg: Array
    phosphorus_kg: Array
    potassium_kg: Array
    sodium_kg: Array
    calcium_kg: Array
    ph: Array


@dataclass(frozen=True)
class Drained:
    """Liquid that reached the sump; every field is an array (members,)."""

    liquid_kg: Array
    water_kg: Array
    lactic_kg: Array
    acetic_kg: Array
    carbon_kg: Array
    nitrogen_kg: Array
    ammonium_nitrogen_kg: Array
    phosphorus_kg: Array
    potassium_kg: Array
    sodium_kg: Array
    calcium_kg: Array


@dataclass(frozen=True)
class Ledger:
    """What went in, is there, drained and left as gas: one row a quantity, arrays (members,)."""

    into: dict[str, Array]
    held: dict[str, Array]
    drained: dict[str, Array]
    gas: dict[str, Array]

    def gap(self, quantity: str) -> Array:
        """Imbalance of a quantity (mass, water, carbon, nitrogen, P, K, Na or Ca) as a share of
        what went in, (members,). KeyError for another."""
        out = self.held[quantity] + self.drained[quantity] + self.gas[quantity]
        return np.asarray((out - self.into[quantity]) / np.maximum(self.into[quantity], _TINY))


class Contents:
    """Reads kg out of kernel states (members, layers, STATE)."""

    def __init__(self, state: Array, batch: Batch, kernel: Kernel, parameters: Parameters) -> None:
        self.state, self.batch, self.kernel, self.parameters = state, batch, kernel, parameters
        self.masses: MolarMasses = kernel.masses

    def of(self, column: str) -> Array:
        """Sum over layers of a state column, in its unit of ``layout.STATE``, (members,)."""
        return np.asarray(self.state[..., STATE.index(column)].sum(axis=-1))

    def kg(self, column: str, prefix: str = "") -> Array:
        """Mass of a substance held (or, with prefix ``out_``, drained), kg, (members,)."""
        name = "hexose" if column in ("sugar", "locked") else column
        return np.asarray(self.of(prefix + column) * getattr(self.masses, name))

    def mineral_kg(self, name: str) -> tuple[Array, Array]:
        """Mineral held and drained, kg, by its soluble share and the layer's leaching."""
        leached = self.state[..., STATE.index("leached")]
        share = self.parameters[f"liquid.soluble.{_MINERALS[name]}"][:, None]
        held = self.batch[name] * np.exp(-share * leached)
        return held.sum(axis=-1), (self.batch[name] - held).sum(axis=-1)

    def inert_carbon_kg(self) -> Array:
        """Carbon in fibre, fat, first acids and the rest, kg, (members,)."""
        return np.asarray(
            sum(
                self.batch[name].sum(axis=-1) * self.parameters[f"scraps.carbon.{name}"]
                for name in _INERT
            )
        )

    def protein_carbon_kg_per_mol(self) -> Array:
        """Carbon that goes with one mol of organic N, kg."""
        return np.asarray(self.parameters["scraps.carbon.protein"] * self.kernel.protein_kg)

    def carbon_kg(self) -> Array:
        """Carbon held, kg, (members,)."""
        fluid = sum(n * self.of(name) for name, n in _CARBONS.items()) * self.masses.carbon
        nitrogenous = self.of("organic_n") + self.of("residue")
        return np.asarray(
            fluid + nitrogenous * self.protein_carbon_kg_per_mol() + self.inert_carbon_kg()
        )

    def drained_carbon_kg(self) -> Array:
        """Carbon that left with the liquid, kg, (members,)."""
        names = [n for n in _CARBONS if n not in ("locked", "starch")]
        fluid = sum(_CARBONS[n] * self.of("out_" + n) for n in names) * self.masses.carbon
        return np.asarray(fluid + self.of("out_organic_n") * self.protein_carbon_kg_per_mol())

    def fresh_kg(self) -> Array:
        """All that is held, kg, (members,)."""
        weights = weighed_kg(self.masses, self.kernel.protein_kg)
        total = self.of("water")
        for index, weight in zip(WEIGHED, weights, strict=True):
            total = total + self.state[..., index].sum(axis=-1) * weight
        inert = sum(self.batch[name].sum(axis=-1) for name in (*_INERT, "ash"))
        drained = sum(self.mineral_kg(name)[1] for name in _MINERALS)
        return np.asarray(total + inert - drained)

    def out_kg(self) -> Array:
        """All that drained, kg, minerals included, (members,)."""
        names = (
            "sugar",
            "lactic",
            "acetic",
            "ethanol",
            "butyric",
            "mannitol",
            "propanediol",
            "ammonia",
        )
        total = self.of("out_water") + self.of("out_organic_n") * self.kernel.protein_kg
        total = total + sum(self.kg(name, "out_") for name in names)
        return np.asarray(total + sum(self.mineral_kg(name)[1] for name in _MINERALS))

    def ferment(self) -> Ferment:
        """The contents as they stand."""
        fresh, water = self.fresh_kg(), self.of("water")
        ammonium = self.of("ammonia") * self.masses.nitrogen
        return Ferment(
            fresh_kg=fresh,
            # By custom dry matter keeps the acids; alcohol and ammonia go with the water.
            dry_kg=fresh - water - self.kg("ethanol") - self.kg("ammonia"),
            water_kg=water,
            lactic_kg=self.kg("lactic"),
            acetic_kg=self.kg("acetic"),
            butyric_kg=self.kg("butyric"),
            ethanol_kg=self.kg("ethanol"),
            carbon_kg=self.carbon_kg(),
            nitrogen_kg=self.of("organic_n") * self.masses.nitrogen + ammonium,
            ammonium_nitrogen_kg=ammonium,
            phosphorus_kg=self.mineral_kg("P")[0],
            potassium_kg=self.mineral_kg("K")[0],
            sodium_kg=self.mineral_kg("Na")[0],
            calcium_kg=self.mineral_kg("Ca")[0],
            ph=self._mixed_ph(),
        )

    def drained(self) -> Drained:
        """The liquid so far."""
        ammonium = self.of("out_ammonia") * self.masses.nitrogen
        return Drained(
            liquid_kg=self.out_kg(),
            water_kg=self.of("out_water"),
            lactic_kg=self.kg("lactic", "out_"),
            acetic_kg=self.kg("acetic", "out_"),
            carbon_kg=self.drained_carbon_kg(),
            nitrogen_kg=self.of("out_organic_n") * self.masses.nitrogen + ammonium,
            ammonium_nitrogen_kg=ammonium,
            phosphorus_kg=self.mineral_kg("P")[1],
            potassium_kg=self.mineral_kg("K")[1],
            sodium_kg=self.mineral_kg("Na")[1],
            calcium_kg=self.mineral_kg("Ca")[1],
        )

    def ledger(self) -> Ledger:
        """The balance of mass, water, carbon, nitrogen and minerals."""
        nothing = np.zeros(self.state.shape[0])
        oxygen = self.kg_gas("oxygen")
        gas_kg = self.kg_gas("carbon_dioxide") + self.kg_gas("hydrogen")
        nitrogen = self.batch["protein"].sum(axis=-1) / self.kernel.protein_kg
        into = {
            "mass": self.batch.fresh_kg.sum(axis=-1) + oxygen,
            "carbon": self._carbon_in(),
            "nitrogen": nitrogen * self.masses.nitrogen,
        }
        held = {
            "mass": self.fresh_kg(),
            "carbon": self.carbon_kg(),
            "nitrogen": (self.of("organic_n") + self.of("ammonia")) * self.masses.nitrogen,
        }
        drained = {
            "mass": self.out_kg(),
            "carbon": self.drained_carbon_kg(),
            "nitrogen": self.drained().nitrogen_kg,
        }
        gas = {
            "mass": gas_kg,
            "nitrogen": nothing,
            "carbon": self.of("carbon_dioxide") * self.masses.carbon,
        }
        into["water"], held["water"] = self._water_in(), self.of("water")
        drained["water"], gas["water"] = self.of("out_water"), nothing
        for name in _MINERALS:
            into[name], gas[name] = self.batch[name].sum(axis=-1), nothing
            held[name], drained[name] = self.mineral_kg(name)
        return Ledger(into, held, drained, gas)

    def kg_gas(self, name: str) -> Array:
        """Gas let out (or oxygen taken in), kg, (members,)."""
        return np.asarray(self.of(name) * getattr(self.masses, name))

    def _carbon_in(self) -> Array:
        totals = {name: self.batch[name].sum(axis=-1) for name in ("sugars", "starch", "protein")}
        return np.asarray(
            6 * self.masses.carbon * totals["sugars"] / self.masses.hexose
            + 6 * self.masses.carbon * totals["starch"] / self.masses.starch
            + self.parameters["scraps.carbon.protein"] * totals["protein"]
            + self.inert_carbon_kg()
        )

    def _water_in(self) -> Array:
        """Water brought, with what hydrolysis and acetate took and respiration gave."""
        start = self.kernel.start
        starch = start[..., STATE.index("starch")].sum(axis=-1) - self.of("starch")
        # Every mol of hexose that ends as acetate with mannitol takes a third of a mol of water;
        # mixed-acid fermentation half a mol of water for each mol of hydrogen it gives.
        mannitol = self.of("mannitol") + self.of("out_mannitol")
        butyric_hydrogen = 2 * (self.of("butyric") + self.of("out_butyric"))
        hydrogen = self.of("hydrogen") - butyric_hydrogen
        change = self.of("oxygen") - starch - mannitol / 2 - hydrogen / 2
        return np.asarray(self.batch["water"].sum(axis=-1) + change * self.masses.water)

    def _mixed_ph(self) -> Array:
        """pH of all layers stirred together."""
        make_up = self.kernel.make_up
        weight = make_up[..., 0:1]
        shares = weight / np.maximum(weight.sum(axis=1, keepdims=True), _TINY)
        constants = (make_up[..., L_K:L_K_END] * shares).sum(axis=1)
        acids = [self.of(name) for name in ("lactic", "acetic", "butyric")]
        acids[1] = acids[1] + self.parameters["ferment.residue_acid"] * self.of("residue")
        ammonia, water = self.of("ammonia"), self.of("water")
        buffer, rest = (make_up[..., i].sum(axis=-1) for i in (L_BUFFER, L_BUFFER_REST))
        rise, rise_from = (self.parameters[f"ferment.buffer_{x}"] for x in ("rise", "rise_from"))
        mixed = np.full(water.size, np.nan)
        for m in np.flatnonzero(water > 0):
            mixed[m] = solve_ph(
                rest[m] / buffer[m], acids[0][m], acids[1][m], acids[2][m], ammonia[m],
                constants[m], 0.0, buffer[m], rest[m], water[m], rise[m], rise_from[m],
            )  # fmt: skip
        return mixed
