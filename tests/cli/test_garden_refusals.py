"""Four gardens that can't take what they are given, each told in one plain sentence."""

import pytest
from spoken import sourloam

HEAD = """
[site]
name = "Plot at the mill"
kind = "home"
start = 2026-03-02

[climate]
{climate}

[room]
kind = "indoors"
temperature = "20 °C"

[[scraps]]
from = "people"
people = 3

[[vessel]]
name = "19 L pail"
volume = "19 L"
owned = 2

[ground]
texture = "{texture}"
bed_area = "10 m²"

[[finished]]
name = "first pail"
ready = 2026-04-01
mass = "12 kg"
meat = "{meat}"

[[bed]]
name = "Plot"
length = "{length}"
width = "1.2 m"
{more}
"""
MILD = 'mean = "11 °C"\nswing = "7 °C"\nwarmest = "07-20"'
ARCTIC = 'mean = "-9 °C"\nswing = "8 °C"\nwarmest = "07-20"'
BEANS = '[[bed.planting]]\ncrop = "bean"\nfrom = "06-10"\nto = "09-20"'
LETTUCE = (
    '[[bed.planting]]\ncrop = "lettuce"\nfrom = "05-20"\nto = "07-15"\n'
    '[[bed.planting]]\ncrop = "lettuce"\nfrom = "07-20"\nto = "12-20"'
)
CASES = {
    "a garden too small": (
        {"length": "2 m"},
        "Not all of it finds a place: the beds can take",
    ),
    "a winter that never ends": (
        {"climate": ARCTIC},
        "The ground of Plot is frozen in every week that ferment is ready; "
        "keep the vessels sealed and frost-free, or use a tub of soil under a roof.",
    ),
    "a sandy salted bed": (
        {"texture": "sand", "more": 'salt = "4 dS/m"\n' + BEANS},
        "Plot is sand and already at 4.0 dS/m of salt: ferment would take bean below 90 % of its "
        "yield.",
    ),
    "a raw salad bed": (
        {"more": LETTUCE},
        "Plot grows lettuce, which is eaten raw, and the ferment holds meat, fish, egg, dairy or "
        "plate waste: keep 120 days between burying and picking.",
    ),
}


LONG = ("a garden too small", "a winter that never ends", "a sandy salted bed")


@pytest.mark.parametrize(
    "name", [pytest.param(n, marks=pytest.mark.slow) if n in LONG else n for n in CASES]
)
def test_what_cannot_be_is_said_in_one_plain_sentence(name, tmp_path):
    change, sentence = CASES[name]
    usual = {"climate": MILD, "texture": "loam", "meat": "some", "length": "8 m", "more": ""}
    file = tmp_path / "plot.toml"
    file.write_text(HEAD.format(**usual | change), encoding="utf-8")
    done = sourloam("garden", file, "--members", 20)
    assert done.returncode == 0, done.stderr
    told = " ".join(done.stdout.replace("\u00a0", " ").split())
    assert sentence in told
