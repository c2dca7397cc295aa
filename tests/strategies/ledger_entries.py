"""Random entries: any body of any kind, and whole ledgers with corrections and strikes."""

import datetime as dt
from uuid import UUID

from hypothesis import strategies as st

from sourloam.ledger import KINDS, Entry, parse_body, parse_entry

PLACE = "alder-row"
START = dt.datetime(2026, 3, 1, tzinfo=dt.UTC)
MOST_DAYS = 60
uuids = st.integers(1, 2**128 - 1).map(lambda n: UUID(int=n))
vessels = st.sampled_from(["pail-1", "pail-2"])
beds = st.sampled_from(["wall-bed", "long-bed"])
measures = st.sampled_from(["bowl", "tub"])
lots = st.sampled_from(["lot-1", "lot-4"])
notes = st.text(max_size=20)
SPEC = {"name": "pail", "volume": "19 L"}
BED = {"name": "Wall bed", "length": "4 m", "width": "1.2 m", "texture": "loam"}
SITE = {
    "site": {"name": "Flat at Alder Row", "kind": "home", "start": "2026-03-01"},
    "climate": {"record": "mild-oceanic"},
    "room": {"kind": "indoors", "temperature": "19 °C"},
    "scraps": [{"from": "people", "people": 3}],
    "vessel": [SPEC],
    "ground": {"texture": "loam", "bed_area": "12 m²"},
}


def _numbers(least, most):
    return st.one_of(st.floats(least, most), st.integers(int(least) + 1, int(most)))


masses = _numbers(0.05, 12)
amounts = st.one_of(
    st.fixed_dictionaries({"mass_kg": masses}),
    st.fixed_dictionaries({"volume_l": masses}),
    st.fixed_dictionaries({"measure": measures, "count": st.integers(1, 9)}),
)
mixes = st.sampled_from(["household", "cafe", {"fruit_veg": 0.7, "bread": 0.3}])


def _fixed(optional=None, **required):
    return st.fixed_dictionaries(required, optional=optional or {})


_one_thing = st.one_of(_fixed(vessel=vessels), _fixed(bed=beds))


def _with(base, **more):
    return st.builds(lambda a, b: a | b, base, st.fixed_dictionaries({}, optional=more))


BODIES = {
    "place_described": st.just({"site": SITE}),
    "measure_set": _fixed(measure=measures, name=st.just("Blue bowl"), mass_kg=masses),
    "vessel_added": _fixed(vessel=vessels, name=st.just("Pail"), spec=st.just(SPEC)),
    "vessel_retired": _fixed(vessel=vessels),
    "fed": _fixed(
        {"kinds": mixes, "bran_g": _numbers(0, 60), "note": notes, "lot": lots},
        vessel=vessels,
        amount=amounts,
    ),
    "drained": _fixed(
        vessel=vessels, volume_ml=_numbers(0, 400), use=st.sampled_from(["plants", "sink"])
    ),
    "ph_read": _fixed(vessel=vessels, ph=st.floats(3, 7)),
    "looked": _with(_one_thing, signs=st.lists(st.sampled_from(["white_bloom", "green_mould"]))),
    "fill_marked": _fixed(vessel=vessels, fraction=st.floats(0, 1)),
    "weighed": _fixed(vessel=vessels, mass_kg=masses),
    "warmth_read": _fixed({"vessel": vessels}, temperature_c=st.floats(-5, 35)),
    "opened": _fixed({"why": notes}, vessel=vessels),
    "moved": _fixed(vessel=vessels, where=st.sampled_from(["shed", "kitchen"])),
    "set_aside": _fixed(vessel=vessels),
    "judged": _fixed(vessel=vessels, verdict=st.sampled_from(["sound", "failed"])),
    "emptied": _fixed(vessel=vessels, fate=st.sampled_from(["buried", "tub", "thrown"])),
    "buried": _fixed(
        vessel=vessels,
        bed=beds,
        depth_m=st.just(0.3),
        width_m=st.just(0.3),
        length_m=st.floats(0.3, 2),
        cover_m=st.just(0.2),
    ),
    "washed": _fixed(vessel=vessels),
    "photographed": _with(_one_thing.map(lambda t: t | {"photo": "ab" * 32}), note=notes),
    "rescued": _with(
        _one_thing,
        signs=st.lists(st.sampled_from(["white_bloom", "green_mould"])),
        cause=st.just("cold"),
        outcome=st.sampled_from(["mended", "lost"]),
    ),
    "noted": _fixed({"vessel": vessels, "bed": beds}, note=notes),
    "bed_added": _fixed(bed=beds, name=st.just("Wall bed"), spec=st.just(BED)),
    "planted": _fixed(bed=beds, crop=st.just("leek")),
    "harvested": _fixed({"mass_kg": masses}, bed=beds, crop=st.just("leek")),
    "liquid_fed": _fixed(bed=beds, litres=st.floats(0.05, 2), parts_of_water=st.just(100)),
    "bran_received": _fixed(lot=st.sampled_from(["lot-1", "lot-2"]), mass_kg=masses),
    "bran_ordered": _fixed(mass_kg=masses),
    "bran_made": _fixed(lot=st.just("lot-3"), mass_kg=masses),
    "bran_mixed": _fixed(
        {"of_lot": st.just("lot-1"), "carrier": st.just("rice_bran")},
        lot=st.sampled_from(["lot-3", "lot-4"]),
        mass_kg=masses,
    ),
    "bran_dried": _fixed({"moisture": st.floats(0.05, 0.2)}, lot=st.just("lot-4")),
    "bran_packed": _fixed({"store_c": st.floats(2, 30)}, lot=st.just("lot-4"), mass_kg=masses),
    "bran_tested": _fixed(
        lot=st.sampled_from(["lot-1", "lot-4"]), test=st.just("slurry"), result=st.floats(3, 7)
    ),
    "bran_handed_out": _fixed(lot=st.just("lot-1"), mass_kg=masses, to=st.just("Number 9")),
    "bran_recalled": _fixed(lot=st.sampled_from(["lot-1", "lot-4"])),
    "bran_discarded": _fixed(lot=st.just("lot-1"), mass_kg=masses),
    "bran_way_set": _fixed({"humidity": st.floats(0.2, 0.8)}, drying=st.just("fan")),
    "struck": st.just({}),
}
minutes = st.integers(0, MOST_DAYS * 24 * 60).map(lambda m: START + dt.timedelta(minutes=m))
moments = st.one_of(minutes, st.sampled_from([START, START + dt.timedelta(days=1)]))


@st.composite
def raw_entries(draw, kinds=tuple(KINDS), supersedes=None, taken=()):
    """One entry as decoded JSON; ``kinds`` to choose from, ``taken`` ids to keep away from."""
    kind = draw(st.sampled_from(sorted(kinds)))
    raw = {
        "id": str(draw(uuids.filter(lambda mine: mine not in taken))),
        "place": PLACE,
        "kind": kind,
        "at": draw(moments).isoformat(),
        "written_at": draw(moments).isoformat(),
        "body": draw(BODIES[kind]),
    }
    if kind == "struck" and supersedes is None:
        supersedes = draw(uuids.filter(lambda other: str(other) != raw["id"]))
    if supersedes is not None:
        raw["supersedes"] = str(supersedes)
    return raw


@st.composite
def ledgers(draw, most=25):
    """Some entries of one place, of which some supersede or strike others, even ones that
    haven't come (yet)."""
    entries: list[Entry] = []
    for _ in range(draw(st.integers(0, most))):
        target = None
        if entries and draw(st.integers(0, 3)) == 0:
            target = draw(st.sampled_from(entries)).id
        kinds = ["struck", *KINDS] if target is not None else set(KINDS) - {"struck"}
        taken = {e.id for e in entries}
        entries.append(parse_entry(draw(raw_entries(kinds, target, taken))))
    return entries


def entry(number, kind, body, day=0, written=None, supersedes=None, by=None):
    """A plain entry for examples: ``number`` makes its id, ``day`` when it happened."""
    at = START + dt.timedelta(days=day)
    return Entry(
        id=UUID(int=number),
        place=PLACE,
        kind=kind,
        at=at,
        written_at=at if written is None else START + dt.timedelta(days=written),
        body=parse_body(kind, body),
        supersedes=None if supersedes is None else UUID(int=supersedes),
        by=by,
    )


def fed(number, day=0, vessel="pail-1", mass_kg=1.0, **more):
    """A layer of one kilogram."""
    return entry(number, "fed", {"vessel": vessel, "amount": {"mass_kg": mass_kg}}, day, **more)
