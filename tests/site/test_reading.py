"""Whatever is wrong with a file is told in one line that says where and what would be right."""

import os
import re
import time

import pytest

from sourloam.site import SiteError, load, loads

HOME = """
[site]
name = "Flat"
kind = "home"
start = 2026-03-02

[climate]
record = "mild-oceanic"

[room]
temperature = "20 °C"

[[scraps]]
from = "people"
people = 3

[[closed]]
from = 2026-07-20
to = 2026-08-03

[[vessel]]
name = "pail"
volume = "19 L"

[ground]
texture = "loam"
bed_area = "12 m²"
"""

# what stands there, what is written in its place, what the line must say
SLIPS = [
    ('name = "Flat"\n', "", r"site\.name: missing; give it: What you call the place"),
    ("people = 3", "people = -3", r"scraps\[1\]\.people: found -3; must lie between 0\.1 and"),
    ("people = 3", "people = nan", r"scraps\[1\]\.people: found nan"),
    ("people = 3", "people = inf", r"scraps\[1\]\.people: found inf"),
    ("people = 3", "people = true", r"scraps\[1\]\.people: found true; write a number"),
    ("people = 3", "people = " + "9" * 1900, r"scraps\[1\]\.people: found 9{50,70}…; must"),
    ("people = 3", "people = " + "9" * 1900 + ".0", r"scraps\[1\]\.people: found inf"),
    ("people = 3", "peple = 3", r'scraps\[1\]\.peple: unknown key; did you mean "people"\?'),
    ('"people"', '"peple"', r'scraps\[1\]: from: found "peple"; did you mean "people"\?'),
    ('from = "people"\n', "", r"scraps\[1\]: from is missing; choose from people, meals, measured"),
    ("[[scraps]]", "[scraps]", r"scraps: found a table; write \[\[double brackets\]\]"),
    ('"19 L"', "19", r'vessel\[1\]\.volume: found 19; write the unit, e\.g\. "19 L"'),
    ('"19 L"', '"19 kg"', r"vessel\[1\]\.volume: .*no volume"),
    ('"19 L"', '"-19 L"', r"vessel\[1\]\.volume: .*below 0"),
    ('"19 L"', '"19 gallons"', r"vessel\[1\]\.volume: .*US gal or 19 imp gal"),
    ('"19 L"', '"0.1 L"', r"vessel\[1\]\.volume: .*between 0\.5 L and 2000 L"),
    ('"19 L"', '"0.6 L"\nheadroom = "20 cm"', r"vessel\[1\]: pail: sump and headroom leave"),
    ('"19 L"', '"19 L"\nheight = "40 cm"', r"vessel\[1\]: top_diameter, base_diameter and height"),
    ('"19 L"', '"19 L"\nowned = 2.5', r"vessel\[1\]\.owned: found 2\.5; write a whole number"),
    ('volume = "19 L"\n', "", r'vessel\[1\]: volume is missing; e\.g\. volume = "19 L"'),
    (
        "[ground]",
        '[[vessel]]\nname = "pail"\nvolume = "9 L"\n[ground]',
        r'two kinds of vessel are named "pail"',
    ),
    ('"loam"', '"lome"', r'ground\.texture: found "lome"; did you mean "loam"\?'),
    ('bed_area = "12 m²"\n', "", r"ground: bed_area is missing; or write none = true"),
    ("[ground]", "[ground]\nnone = true", r"none = true and bed_area don't go together"),
    ('"home"', '"hoam"', r'site\.kind: found "hoam"; did you mean "home"\?'),
    ("[site]", "[sight]", r'sight: unknown key; did you mean "site"\?'),
    ("2026-03-02", '"soon"', r'site\.start: found "soon"; write a date as 2026-03-01'),
    ("2026-03-02", "0001-01-01", r"site\.start: found 0001-01-01; must lie between 1970-01-01"),
    ("2026-03-02", "2026-13-02", r"not TOML: .*line 5"),
    ("to = 2026-08-03", "to = 2026-07-01", r"closed\[1\]: to .* is before from"),
    ("to = 2026-08-03", 'to = "08-03"', r"closed\[1\]: from and to differ"),
    ("2026-07-20", '"02-30"', r'closed\[1\]\.from: found "02-30"'),
    ('record = "mild-oceanic"', "", r"climate: found none of them; give exactly one of record"),
    ('"mild-oceanic"', '"mild-ocean"', r'climate\.record: .*did you mean "mild-oceanic"\?'),
    (
        'record = "mild-oceanic"',
        'monthly_means = []\nunit = "°C"',
        r"climate\.monthly_means: 0 entries; at least 12",
    ),
    (
        'record = "mild-oceanic"',
        "monthly_means = [1,2,3,4,5,6,7,8,9,10,11,12]",
        r"climate: unit is missing",
    ),
    ('record = "mild-oceanic"', 'mean = "9 °C"', r"climate: swing is missing"),
    (
        'record = "mild-oceanic"',
        'mean = "55 °C"\nswing = "40 °C"\nwarmest = "07-15"',
        r"climate: .*no air temperature on Earth",
    ),
    ('temperature = "20 °C"', "", r"room: temperature is missing; indoors needs it"),
    ('temperature = "20 °C"', 'kind = "shed"\ntemperature = "9 °C"', r"room: .*the weather"),
    ('"home"', "=", r"not TOML: .*line 4"),
    ("people = 3", "people = 3\nmix = 'houshold'", r'did you mean "household"\?'),
    ("people = 3", "people = 3\nmix = {bred = 1}", r'unknown class "bred"; did you mean "bread"\?'),
    ("people = 3", "people = 3\nmix = {bread = 0.9}", r"the shares add up to 0\.9"),
    ("people = 3", "people = 3\nmix = {bread = 2, paper = -1}", r"bread: found 2; a share lies"),
    ("people = 3", "people = 3\nmix = {bread = nan}", r"bread: found nan; a share lies"),
    ("people = 3", "people = " + "[" * 1000, r"nested too deep|not TOML"),
    ("people = 3", "people = " + "9" * 5000, r"line 15 has 5009 characters"),
    ("[ground]", "[rules]\nburial_allowed = 'perhaps'\n[ground]", r"choose from no, unknown, yes"),
    ("[ground]", "[rules]\ndistance_to_well = 20\n[ground]", r'write the unit, e\.g\. "20 m"'),
    ("people = 3", "people = 900", r"vessel\[1\]: a mean day's scraps \(1\d\d kg\) would fill 8"),
    ("from = 2026-07-20\nto = 2026-08-03", 'from = "01-01"\nto = "12-31"', r"no day .* is open"),
    ("[ground]", "[week]\n" + "\n".join(f"{d} = 0" for d in
     ("mon", "tue", "wed", "thu", "fri", "sat", "sun")) + "\n[ground]", r"week: every day is 0"),
]  # fmt: skip


def refused(text, **more):
    with pytest.raises(SiteError) as caught:
        loads(text, "home.toml", **more)
    line = str(caught.value)
    assert line.isprintable()
    assert line.startswith("home.toml: ")
    assert len(line) < 500
    return line


def test_the_plain_file_is_good():
    assert loads(HOME).name == "Flat"


@pytest.mark.parametrize(("right", "slip", "said"), SLIPS, ids=range(len(SLIPS)))
def test_each_slip_is_told_in_one_line_with_its_place(right, slip, said):
    assert right in HOME
    assert re.search(said, refused(HOME.replace(right, slip, 1)))


def test_other_mistakes_are_named():
    text = HOME.replace("people = 3", "people = -3").replace('"loam"', '"lome"')
    assert refused(text).endswith("(also wrong: ground.texture)")


def test_every_missing_key_and_section_is_named():
    said = refused('[site]\nnam = "x"\n')
    assert said.endswith(
        "(also missing: site.name, site.kind, site.start, climate, room, scraps, vessel, ground)"
    )


def test_a_page_of_unknown_keys_stays_one_line_of_bounded_length():
    with pytest.raises(SiteError) as caught:
        loads(HOME + "[other]\n" + "\n".join(f"[table{i}]" for i in range(5000)), "home.toml")
    line = str(caught.value)
    assert line.isprintable()
    assert len(line) < 600
    assert re.search(r"and 49\d\d more\)$", line)


def test_a_missing_file_is_told(tmp_path):
    with pytest.raises(SiteError, match=r"none\.toml: there is no such file"):
        load(tmp_path / "none.toml")


def test_a_folder_is_told(tmp_path):
    with pytest.raises(SiteError, match="this is a folder"):
        load(tmp_path)


def test_a_pipe_does_not_hang_the_reader(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    with pytest.raises(SiteError, match="no ordinary file"):
        load(tmp_path / "pipe.toml")


def test_a_name_with_a_nul_is_told():
    with pytest.raises(SiteError, match="no file can have this name"):
        load("a\0b.toml")


def test_text_in_another_encoding_is_told_with_its_line(tmp_path):
    file = tmp_path / "site.toml"
    file.write_bytes(b"[site]\nname = 'Caf\xe9'\n")
    with pytest.raises(SiteError, match=r"site\.toml: line 2 isn't UTF-8"):
        load(file)


def test_a_byte_order_mark_does_no_harm(tmp_path):
    file = tmp_path / "site.toml"
    file.write_bytes(b"\xef\xbb\xbf" + HOME.encode())
    assert load(file).name == "Flat"


def test_ten_megabytes_of_noise_are_refused_unread(tmp_path):
    file = tmp_path / "noise.toml"
    file.write_bytes(bytes(range(256)) * 40_000)
    begun = time.perf_counter()
    with pytest.raises(SiteError, match="larger than 1000 kB"):
        load(file)
    assert time.perf_counter() - begun < 1


HEAVY = {
    "a list of 100,000": HOME.replace("people = 3", "people = [\n" + "1,\n" * 100_000 + "]"),
    "many brackets": "x =" + "\n".join(["[" * 1900] * 400),
    "a long key": HOME + "\n" + ".".join("a" * 990) + " = 1",
    "many dots": "\n".join(".".join("a" * 900) + f".k{i} = 1" for i in range(500)),
    "many keys": HOME + "\n".join(f"k{i} = 1" for i in range(60_000)),
    "many vessels": HOME + '[[vessel]]\nname = "a"\nvolume = "9 L"\n' * 20_000,
    "many classes": HOME + "[[scraps]]\nfrom='people'\npeople=1\n[scraps.mix]\n"
    + "\n".join(f"k{i} = 1" for i in range(50_000)),
}  # fmt: skip


@pytest.mark.parametrize("case", HEAVY)
def test_heavy_files_are_refused_soon(case):
    begun = time.process_time()
    refused(HEAVY[case])
    assert time.process_time() - begun < 3


def test_more_entries_than_anybody_has_are_refused():
    many = "".join(f'[[vessel]]\nname = "v{i}"\nvolume = "9 L"\n' for i in range(100))
    assert "vessel: 101 entries; at most 100" in refused(HOME + many)


RECORD = "date,tmin_c,tmax_c\n" + "".join(
    f"{year}-{month:02d}-{day:02d},{month},{month + 8}\n"
    for year in (2024, 2025)
    for month in range(1, 13)
    for day in range(1, (31, 29 if year == 2024 else 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)[
        month - 1] + 1)
)  # fmt: skip


def with_record(tmp_path, content):
    (tmp_path / "record.csv").write_text(content, encoding="utf-8")
    (tmp_path / "home.toml").write_text(
        HOME.replace('record = "mild-oceanic"', 'csv = "record.csv"'), encoding="utf-8"
    )
    return tmp_path / "home.toml"


def test_a_record_of_ones_own_lies_beside_the_file(tmp_path):
    daily = load(with_record(tmp_path, RECORD)).to_climate()
    assert len(daily) == 731
    assert daily.mean_c[0] == 5


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("", "holds no day|empty"),
        ("date,tmin_c,tmax_c\n", ""),
        ("date,tmin_c,tmax_c\n2024-01-02,1,2\n2024-01-01,1,2\n", ""),
        ("date,tmin_c,tmax_c\n2024-01-02,one,2\n", ""),
    ],
)
def test_a_bad_record_is_told_in_one_line(tmp_path, content, said):
    with pytest.raises(SiteError, match=rf"home\.toml: climate\.csv: record\.csv: .*({said})"):
        load(with_record(tmp_path, content))


def test_a_record_that_is_not_there_is_told(tmp_path):
    file = with_record(tmp_path, RECORD)
    (tmp_path / "record.csv").unlink()
    with pytest.raises(SiteError, match=r"climate\.csv: record\.csv: there is no such file"):
        load(file)


def test_a_text_without_a_folder_has_no_record():
    text = HOME.replace('record = "mild-oceanic"', 'csv = "record.csv"')
    assert "no folder to read record.csv from" in refused(text)
