"""One plain body for each kind of entry."""

from strategies.ledger_entries import BED, SITE

PAIL = {"vessel": "blue"}
WALL = {"bed": "wall"}
TRENCH = {"depth_m": 0.3, "width_m": 0.3, "length_m": 1.0, "cover_m": 0.2}
LOT = {"lot": "lot-1", "mass_kg": 1.0}
BODIES = {
    "place_described": {"site": SITE},
    "measure_set": {"measure": "bowl", "name": "Bowl", "mass_kg": 0.6},
    "vessel_added": {**PAIL, "name": "Blue", "spec": {"name": "pail", "volume": "19 L"}},
    "vessel_retired": PAIL,
    "fed": {**PAIL, "amount": {"mass_kg": 1.0}},
    "drained": {**PAIL, "volume_ml": 120.0},
    "ph_read": {**PAIL, "ph": 4.2},
    "looked": {**PAIL, "signs": ["white-bloom"]},
    "fill_marked": {**PAIL, "fraction": 0.5},
    "weighed": {**PAIL, "mass_kg": 9.0},
    "warmth_read": {"temperature_c": 19.0},
    "opened": PAIL,
    "moved": {**PAIL, "where": "shed"},
    "set_aside": PAIL,
    "judged": {**PAIL, "verdict": "sound"},
    "emptied": {**PAIL, "fate": "buried"},
    "buried": {**PAIL, **WALL, **TRENCH},
    "washed": PAIL,
    "photographed": {**PAIL, "photo": "a" * 64},
    "rescued": PAIL,
    "noted": {"note": "warm day"},
    "bed_added": {**WALL, "name": "Wall bed", "spec": BED},
    "planted": {**WALL, "crop": "leek"},
    "harvested": {**WALL, "crop": "leek"},
    "liquid_fed": {**WALL, "litres": 0.1, "parts_of_water": 100},
    "bran_received": LOT,
    "bran_ordered": {"mass_kg": 1.0},
    "bran_made": LOT,
    "bran_mixed": LOT,
    "bran_dried": {"lot": "lot-1", "moisture": 0.1},
    "bran_packed": LOT,
    "bran_tested": {"lot": "lot-1", "test": "plate", "result": 7.1},
    "bran_handed_out": {**LOT, "to": "Number 9"},
    "bran_recalled": {"lot": "lot-1"},
    "bran_discarded": LOT,
    "bran_way_set": {"drying": "oven", "humidity": 0.5},
}
