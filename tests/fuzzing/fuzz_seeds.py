"""Sound inputs of each reader, to be broken; and the words that it looks for."""

import io
import json
import re
import zipfile
from functools import cache
from pathlib import Path

from logbook_bodies import BODIES

from strategies.ledger_entries import PLACE

ROOT = Path(__file__).parents[2]
NOW = "2026-05-01T10:00:00+00:00"
ENTRY = {
    "id": "6f1c2f0e-0000-4000-8000-000000000001",
    "place": PLACE,
    "kind": "fed",
    "at": NOW,
    "written_at": NOW,
    "body": {"vessel": "pail-1", "amount": {"mass_kg": 1.2}, "kinds": "household", "bran_g": 20},
}
LAYERS = (
    {"vessel": "blue", "amount": {"volume_l": 2.5}, "kinds": {"bread": 0.3, "fruit_veg": 0.7}},
    {"vessel": "blue", "amount": {"measure": "bowl", "count": 2}, "kinds": "cafe", "lot": "lot-1"},
)
SHEETS = (
    b"date;vessel;kg;bran g\n2026-05-01;Blue pail;1,2;20\n02/05/2026 18:30;Blue pail;0,8;15\n",
    b"Date,Vessel,Weight,Note\n2026-03-01,pail-1,2 lb,wet\n3/1/26,blue pail,8 oz,\n",
    "Fecha\tRecipiente\tPeso (kg)\n13/03/2026\tblue pail\t1.250,5\n".encode("utf-16"),
    'day;bin;amount\n01.04.2026;"Blue ""pail""";2 tazón\n'.encode("cp1252"),
)
WEATHER = (
    b"date,tmin_c,tmax_c\n2024-01-01,1.0,8.2\n2024-01-02,,7\n2024-01-03,-2,5\n",
    b"\xef\xbb\xbfdate,tmin_f,tmax_f\r\n2024-02-28,30,41\r\n2024-02-29,33.5,50\r\n2024-03-01,-4,12\r\n",
)
QUANTITIES = (
    *("1.5 kg", "2 1/2 us gal", "20 g/kg", "68 F", "76 %", "1/3 US cup", "½ us gal"),
    *("12 m²", "10 days", "-4 °C", "1e-3 m", "3 t/ha", "70 us fl oz"),
)
FORMS = (
    b"vessel=pail-1&amount-way=mass_kg%3An1&amount-n=1.2&bran_g%3An1=20&signs%3Alist=sour_smell",
    b"vessel=blue&temperature_c%3Af=68&at=2026-05-01T10%3A00&note=warm",
    b"lot%3Aslug=Oak+lot&mass_kg%3An0.4536=2%2C5&kinds.bread%3An0.01=30&kinds.meat%3An0.01=70",
    b"json%3Ajson=%7B%22vessel%22%3A%22blue%22%2C%22ph%22%3A4.2%7D&supersedes="
    + ENTRY["id"].encode(),
    b"measure%3Anew=bowl&name=Bowl&size-way=volume_l%3An1&size-n=1%2C8&signs%3Alist=a&signs%3Alist=b",
)
PLAYS = (
    b"body=pail&a.warmth=19&b.warmth=9&days=40&moves=1",
    b"a_warmth=20&b_warmth=6&a_bran=20&b_bran=0&a_mix=household&b_mix=plate_waste&day=35&units=us",
    b"body=jar&a_sugar=40&a_layer=0.3&a_plate=3&b_opened=2&b_leak=5&a_pieces=whole&b_meat=40",
)
SET_UPS = (
    b"people=3&source=people&area=12&garden=1&climate=mild-oceanic",
    b"meals=60&kg_a_day=1.5&mix=cafe&room=cellar&room_c=12&litres=60&risk=0.1&area_m2=0"
    b"&weather=own&mean_c=9&swing_k=8&warmest=07-20&start=2026-03-01&name=Shed&owned=2&owned=1",
)
QUESTIONS = (
    b"since=2026-01-01&until=2026-04-01&years=20&bin_price=0.2",
    b"time=own&since=2025-02-28&until=2026-02-28&horizon=20&report=ar5&bin=landfill"
    b"&landfill=managed&wells=none&bin_per_tonne=120&hours=3%2C5&wage_per_hour=11&currency=EUR",
)
ROWS = b'["id"]\n'
#: A site file of one line in each of its parts, to be bent sooner than the long ones.
SHORT_SITE = b"""[site]
name = "Flat"
kind = "home"
start = 2026-03-01
[climate]
record = "mild-oceanic"
[room]
kind = "indoors"
temperature = "19 \xc2\xb0C"
[[scraps]]
from = "measured"
amount = "1.2 kg/day"
mix = { bread = 0.3, fruit_veg = 0.7 }
[[vessel]]
name = "pail"
volume = "5 us gal"
[ground]
texture = "loam"
bed_area = "12 m2"
"""


@cache
def sound(name):
    """Sound inputs of a target."""
    makers = {
        "site_file": lambda: [SHORT_SITE, *(p.read_bytes() for p in _examples())],
        "entry": lambda: [json.dumps(raw).encode() for raw in entries()],
        "place_json": lambda: [_json(bundle(1)), _json(bundle_of_a_place())],
        "place_zip": lambda: [_zipped(bundle(1)), _zipped(bundle_of_a_place())],
        "place_table": lambda: [tables_of_a_place()["fed.csv"]],
        "weighing_sheet": lambda: list(SHEETS),
        "weather": lambda: list(WEATHER),
        "quantity": lambda: [text.encode() for text in QUANTITIES],
        "posted_form": lambda: list(FORMS),
        "play_address": lambda: list(PLAYS),
        "set_up_form": lambda: list(SET_UPS),
        "achieved_form": lambda: list(QUESTIONS),
        "photo": _pictures,
        "manifest": lambda: [_manifest()],
        "backup": lambda: [_backup()],
    }
    return makers[name]()


def _examples():
    return sorted((ROOT / "examples").glob("*.toml"))


def words(name):
    """What a reader looks for: each word of its sound inputs, and each key of its schema."""
    found = {word for data in sound(name) for word in re.findall(rb"[\w.:%/-]{2,40}", data)}
    if name in ("entry", "place_json", "place_table", "posted_form"):
        from sourloam.ledger import KINDS

        found |= {kind.encode() for kind in KINDS}
        found |= {key.encode() for kind in KINDS.values() for key in kind.body.model_fields}
    if name == "site_file":
        from sourloam.site import Site

        found |= {key.encode() for key in _keys(Site.model_json_schema())}
    if name == "quantity":
        from sourloam.units import UNITS

        found |= {unit.encode() for known in UNITS.values() for unit in known}
    return sorted(word for word in found if len(word) < 64)


def _keys(schema):
    """Names of properties and values of choices, at any depth."""
    if isinstance(schema, list):
        return {key for part in schema for key in _keys(part)}
    if not isinstance(schema, dict):
        return set()
    own = set(schema.get("properties", ())) | {str(one) for one in schema.get("enum", ())}
    return own.union(*(_keys(part) for part in schema.values()))


@cache
def entries():
    """One of each kind, in an order in which they can follow each other, and two other layers."""
    bodies = [("fed", ENTRY["body"]), *BODIES.items(), *(("fed", layer) for layer in LAYERS)]
    made = [
        ENTRY | {"id": f"6f1c2f0e-0000-4000-8000-{number:012d}", "kind": kind, "body": body}
        for number, (kind, body) in enumerate(bodies, 1)
    ]
    last = made[-1]
    struck = {"id": last["id"][:-3] + "900", "kind": "struck", "body": {}, "supersedes": last["id"]}
    return (*made, ENTRY | struck)


def bundle(many):
    """A place as it is taken out, with so many entries."""
    from sourloam.exchange import Bundle, PlaceFacts
    from sourloam.ledger import parse_entry

    facts = PlaceFacts(PLACE, "Flat at Alder Row")
    return Bundle(facts, tuple(parse_entry(raw) for raw in entries()[:many]))


@cache
def bundle_of_a_place():
    return bundle(len(entries()))


@cache
def tables_of_a_place():
    from sourloam.exchange.tables import tables

    return tables(bundle_of_a_place())


def _json(of):
    from sourloam.exchange import place_json

    return place_json(of)


def _zipped(of):
    from sourloam.exchange import write_archive

    made = io.BytesIO()
    write_archive(of, made)
    return made.getvalue()


def _pictures():
    from PIL import Image

    drawn = Image.linear_gradient("L").resize((24, 16)).convert("RGB")
    turned = Image.Exif()
    turned[0x0112], turned[0x010F] = 6, "a camera"
    ways = [
        *(("RGB", form, {}) for form in ("JPEG", "PNG", "WEBP")),
        *(("CMYK", "JPEG", {}), ("L", "JPEG", {"progressive": True}), ("1", "PNG", {})),
        *(("P", "PNG", {}), ("RGBA", "PNG", {"exif": turned}), ("RGB", "JPEG", {"exif": turned})),
        ("RGB", "WEBP", {"lossless": True}),
    ]
    made = []
    for mode, form, more in ways:
        file = io.BytesIO()
        drawn.convert(mode).save(file, form, **more)
        made.append(file.getvalue())
    return made


def _manifest():
    said = {
        "format": "sourloam backup",
        "version": 1,
        "made_at": NOW,
        "sourloam": "0.1.0",
        "migration": "0001_initial",
        "places": [{"id": PLACE, "entries": 1, "last_hash": "a" * 64}],
        "parts": {"rows/logbook.entry.jsonl": {"size": len(ROWS), "sha256": "a" * 64, "rows": 1}},
        "photos_missing": [],
    }
    return json.dumps(said).encode()


def _backup():
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("manifest.json", _manifest())
        packed.writestr("rows/logbook.entry.jsonl", ROWS)
    return made.getvalue()
