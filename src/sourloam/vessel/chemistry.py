"""Substances, reactions and molar masses, built from the atoms so that every element balances."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.evidence import Parameters

#: Atoms in one molecule of each substance.
FORMULAS: dict[str, dict[str, int]] = {
    "water": {"H": 2, "O": 1},
    "hexose": {"C": 6, "H": 12, "O": 6},
    "starch": {"C": 6, "H": 10, "O": 5},
    "lactic": {"C": 3, "H": 6, "O": 3},
    "acetic": {"C": 2, "H": 4, "O": 2},
    "ethanol": {"C": 2, "H": 6, "O": 1},
    "butyric": {"C": 4, "H": 8, "O": 2},  # method: atoms counted
    "mannitol": {"C": 6, "H": 14, "O": 6},  # method: atoms counted
    "propanediol": {"C": 3, "H": 8, "O": 2},  # method: atoms counted
    "ammonia": {"N": 1, "H": 3},
    "carbon_dioxide": {"C": 1, "O": 2},
    "hydrogen": {"H": 2},
    "oxygen": {"O": 2},
}
#: Reactions as changes in mol; each balances in every atom (a test adds them up).
REACTIONS: dict[str, dict[str, int]] = {
    "homolactic": {"hexose": -1, "lactic": 2},
    "heterolactic_ethanol": {"hexose": -1, "lactic": 1, "ethanol": 1, "carbon_dioxide": 1},
    "heterolactic_acetate": {
        "hexose": -3, "water": -1, "lactic": 1, "acetic": 1, "mannitol": 2, "carbon_dioxide": 1,
    },
    # Five hexoses stand for six pentoses: both are made of CH2O.
    "pentose": {"hexose": -5, "lactic": 6, "acetic": 6},
    "yeast": {"hexose": -1, "ethanol": 2, "carbon_dioxide": 2},
    "mixed_acid": {
        "hexose": -2, "water": -1, "lactic": 2, "acetic": 1, "ethanol": 1,
        "carbon_dioxide": 2, "hydrogen": 2,
    },
    "entero_acetic": {
        "hexose": -1, "water": -1, "acetic": 1, "ethanol": 1, "carbon_dioxide": 2, "hydrogen": 2,
    },
    "butyric": {"lactic": -2, "butyric": 1, "carbon_dioxide": 2, "hydrogen": 2},
    "lactic_to_acetic": {"lactic": -2, "acetic": 1, "propanediol": 1, "carbon_dioxide": 1},
    "starch_hydrolysis": {"starch": -1, "water": -1, "hexose": 1},
    "sugar_oxidation": {"hexose": -1, "oxygen": -6, "carbon_dioxide": 6, "water": 6},
    "lactic_oxidation": {"lactic": -1, "oxygen": -3, "carbon_dioxide": 3, "water": 3},
}  # fmt: skip
_ATOM_IDS = {
    "C": "acids.mass.carbon",
    "H": "acids.mass.hydrogen",
    "O": "acids.mass.oxygen",
    "N": "acids.mass.nitrogen",
}
EVIDENCE = ("acids",)


def molar_mass_kg(substance: str, parameters: Parameters) -> float:
    """Molar mass, kg/mol, from the atomic masses."""
    atoms = FORMULAS[substance]
    grams = sum(n * parameters[_ATOM_IDS[atom]][0] for atom, n in atoms.items())
    return float(grams) / 1000


@dataclass(frozen=True)
class MolarMasses:
    """kg/mol of every substance, and of the atoms that balances are kept in."""

    water: float
    hexose: float
    starch: float
    lactic: float
    acetic: float
    ethanol: float
    butyric: float
    mannitol: float
    propanediol: float
    ammonia: float
    carbon_dioxide: float
    hydrogen: float
    oxygen: float
    carbon: float
    nitrogen: float


def molar_masses(parameters: Parameters) -> MolarMasses:
    """Molar masses of all substances; needs the ``acids.mass`` rows."""
    substances = {name: molar_mass_kg(name, parameters) for name in FORMULAS}
    atoms = {
        name: float(parameters[f"acids.mass.{name}"][0]) / 1000 for name in ("carbon", "nitrogen")
    }
    return MolarMasses(**substances, **atoms)
