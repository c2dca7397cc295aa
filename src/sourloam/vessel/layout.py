"""Where each quantity stands in the arrays of the compiled kernel."""

from __future__ import annotations

#: State of one layer; mol unless said. "out" columns are totals that left through the tap.
STATE = (
    "water",  # kg
    "sugar",  # free hexose
    "locked",  # hexose still inside whole cells
    "starch",
    "lactic",
    "acetic",
    "ethanol",
    "butyric",
    "mannitol",
    "propanediol",
    "ammonia",
    "organic_n",
    "residue",  # carbon skeletons, counted by the N they lost
    "seepage",  # water yet to drain, kg
    "leached",  # integral of drained over held water, 1
    "lactic_cfu",  # acid-bearing lactic bacteria
    "early_cfu",  # lactic bacteria that come first and stop early
    "entero_cfu",
    "clostridia",  # share of a full population
    "carbon_dioxide",
    "hydrogen",
    "oxygen",
    "out_water",  # kg
    "out_sugar",
    "out_lactic",
    "out_acetic",
    "out_ethanol",
    "out_butyric",
    "out_mannitol",
    "out_propanediol",
    "out_ammonia",
    "out_organic_n",
)
#: What stays constant in a layer.
LAYER = (
    "fresh",  # kg at the start
    "buffer",  # mol/pH
    "buffer_rest",  # its charge at the starting pH, mol
    "k_lactic",  # conditional dissociation constants, mol/kg, in the order of ``solve_ph``
    "k_acetic",
    "k_butyric",
    "k_ammonium",
    "k_water",
    "lactic_water_factor",  # growth left to lactic bacteria by water activity
    "critical_ph",
    "yeast_share",
    "inert",  # kg: fibre, fat, first acids, other, ash
    "loose_density",  # kg/m3
    "release",  # 1/h at the base temperature
)
#: What temperature makes of the rates on one day.
WARMTH = ("lactic", "early", "entero", "clostridia", "general", "death")
#: Coefficients of the rates at one moment.
RATES = (
    "uptake_lactic",  # 1/h of sugar
    "uptake_early",
    "uptake_entero",
    "uptake_oxygen",
    "starch",  # 1/h
    "release",
    "butyric",  # 1/h of lactic acid
    "to_acetic",  # 1/h of lactic acid
    "protein",  # 1/h of organic N
    "lactic_burnt",  # 1/h of lactic acid
    "growth_lactic",  # 1/h before crowding
    "growth_early",
    "growth_entero",
    "growth_clostridia",
    "death_lactic",
    "death_early",
    "death_entero",
    "drain",  # 1/h of the water yet to drain
    "beside_early",  # cfu of the acid-bearing lactic bacteria at that moment
)


def _places(names: tuple[str, ...]) -> dict[str, int]:
    return {name: i for i, name in enumerate(names)}


_S, _L, _W, _R = (_places(x) for x in (STATE, LAYER, WARMTH, RATES))

S_WATER, S_SUGAR, S_LOCKED, S_STARCH = (_S[x] for x in ("water", "sugar", "locked", "starch"))
S_LACTIC, S_ACETIC, S_ETHANOL = (_S[x] for x in ("lactic", "acetic", "ethanol"))
S_BUTYRIC, S_MANNITOL, S_AMMONIA = (_S[x] for x in ("butyric", "mannitol", "ammonia"))
S_PROPANEDIOL = _S["propanediol"]
S_ORGANIC_N, S_RESIDUE = _S["organic_n"], _S["residue"]
S_SEEPAGE, S_LEACHED = _S["seepage"], _S["leached"]
S_LAB, S_EARLY = _S["lactic_cfu"], _S["early_cfu"]
S_ENT, S_CLO = _S["entero_cfu"], _S["clostridia"]
S_CO2, S_H2, S_O2 = (_S[x] for x in ("carbon_dioxide", "hydrogen", "oxygen"))
S_OUT_WATER, S_OUT_ORGANIC_N = _S["out_water"], _S["out_organic_n"]
#: Solutes that leave with the water, and where their totals stand, in the same order.
SOLUTES = (S_SUGAR, S_LACTIC, S_ACETIC, S_ETHANOL, S_BUTYRIC, S_MANNITOL, S_PROPANEDIOL, S_AMMONIA)
OUT_SOLUTES = tuple(_S["out_" + STATE[i]] for i in SOLUTES)

L_FRESH, L_BUFFER, L_BUFFER_REST = (_L[x] for x in ("fresh", "buffer", "buffer_rest"))
L_K = _L["k_lactic"]
L_K_END = _L["k_water"] + 1
L_WATER_FACTOR, L_CRITICAL, L_YEAST = (
    _L[x] for x in ("lactic_water_factor", "critical_ph", "yeast_share")
)
L_INERT, L_LOOSE, L_RELEASE = (_L[x] for x in ("inert", "loose_density", "release"))

W_LACTIC, W_EARLY, W_ENTERO, W_CLOSTRIDIA, W_GENERAL, W_DEATH = (_W[x] for x in WARMTH)

(
    R_LACTIC,
    R_EARLY,
    R_ENTERO,
    R_OXYGEN,
    R_STARCH,
    R_RELEASE,
    R_BUTYRIC,
    R_TO_ACETIC,
    R_PROTEIN,
    R_BURNT,
    R_GROW_LAB,
    R_GROW_EARLY,
    R_GROW_ENT,
    R_GROW_CLO,
    R_DIE_LAB,
    R_DIE_EARLY,
    R_DIE_ENT,
    R_DRAIN,
    R_BESIDE_EARLY,
) = (_R[x] for x in RATES)

#: Parameters of the kernel, in the order of its parameter row.
PARAMETERS = (
    "flora.lactic.growth",
    "flora.lactic.t_min",
    "flora.lactic.t_opt",
    "flora.lactic.t_max",
    "flora.lactic.ph_min",
    "flora.lactic.ph_opt",
    "flora.lactic.ph_max",
    "flora.lactic.acid_per_growth",
    "flora.lactic.acid_maintenance",
    "flora.lactic.lactic_limit_growth",
    "flora.lactic.acetic_limit_growth",
    "flora.lactic.lactic_limit_acid",
    "flora.lactic.acetic_limit_acid",
    "flora.lactic.ph_stop_acid",
    "flora.lactic.ph_span_acid",
    "flora.lactic.most",
    "flora.lactic.death",
    "flora.early.growth",
    "flora.early.t_min",
    "flora.early.t_opt",
    "flora.early.t_max",
    "flora.early.ph_min",
    "flora.early.ph_opt",
    "flora.early.ph_max",
    "flora.early.death",
    "flora.cell_mass",
    "flora.sugar_half",
    "flora.entero.growth",
    "flora.entero.t_min",
    "flora.entero.t_opt",
    "flora.entero.t_max",
    "flora.entero.ph_min",
    "flora.entero.ph_opt",
    "flora.entero.ph_max",
    "flora.entero.lactic_limit",
    "flora.entero.acetic_limit",
    "flora.entero.acid_per_growth",
    "flora.entero.acid_maintenance",
    "flora.entero.acetic_share",
    "flora.entero.most",
    "flora.entero.death",
    "flora.entero.death_ph_slope",
    "flora.entero.death_ph",
    "flora.death.q10",
    "flora.clostridia.growth",
    "flora.clostridia.t_min",
    "flora.clostridia.t_opt",
    "flora.clostridia.t_max",
    "flora.clostridia.lactic_limit",
    "flora.clostridia.lactic_limit_ph",
    "flora.clostridia.lactic_limit_slope",
    "flora.clostridia.turnover",
    "flora.clostridia.ph_span",
    "ferment.pentose_share",
    "ferment.hetero_share",
    "ferment.acetate_share",
    "ferment.starch_rate",
    "ferment.starch_ph_stop",
    "ferment.starch_ph_span",
    "ferment.protein_rate",
    "ferment.protein_ph_stop",
    "ferment.protein_ph_span",
    "ferment.clostridia_ammonia",
    "ferment.residue_acid",
    "ferment.buffer_rise",
    "ferment.buffer_rise_from",
    "ferment.lactic_to_acetic",
    "ferment.lactic_to_acetic_ph",
    "ferment.q10",
    "ferment.q10_base",
    "ferment.frozen_below",
    "liquid.seepage",
    "liquid.soluble.n",
    "vessel.density_most",
    "vessel.density_ceiling",
    "vessel.packing",
    "vessel.press",
    "vessel.creep",
    "vessel.creep_days",
    "vessel.air_exchange",
    "vessel.lid_leak",
    "vessel.oxygen_share",
    "vessel.molar_volume",
    "vessel.air_depth",
    "vessel.gravity",
    "ferment.steady_change",
    "ferment.steady_days",
    "ferment.minimum_rest",
    "ferment.failure_after",
)
#: Computed from the evidence once a member and appended to its parameter row.
DERIVED = ("derived.water_kg", "derived.hexose_g")
P = _places(PARAMETERS + DERIVED)
