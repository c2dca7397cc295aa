"""Each sort of wrong file gives one line on standard error, nothing else, and the code 2."""

from pathlib import Path

import pytest

from sourloam.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples"
HOME = (EXAMPLES / "home.toml").read_text(encoding="utf-8")
NOISE = bytes(range(256)) * 39_063  # 10 MB


def refused(capsys, verb, path):
    """The one line, after checking that nothing else was said."""
    with pytest.raises(SystemExit) as caught:
        main([verb, str(path)])
    out, err = capsys.readouterr()
    assert caught.value.code == 2
    assert out == ""
    assert err.startswith("sourloam: ")
    assert err.count("\n") == 1
    return err


def without(text, *starts):
    """The text without the lines that begin so."""
    lines = text.splitlines()
    kept = [line for line in lines if not line.startswith(starts)]
    assert len(kept) < len(lines)
    return "\n".join(kept)


SLIPS = {
    "a missing key": (without(HOME, "start ="), "site.start: missing"),
    "missing keys": (without(HOME, "start =", "kind ="), "(also missing: site.start)"),
    "a missing section": (without(HOME, "[room]", "temperature", "winter"), "room"),
    "a negative mass": (
        HOME.replace(
            "[[vessel]]",
            '[[scraps]]\nfrom = "measured"\namount = "-2 kg/day"\nmix = "household"\n[[vessel]]',
            1,
        ),
        "scraps[2].amount: '-2 kg/day': must not be below 0",
    ),
    "an unknown class of scraps": (
        HOME.replace('mix = "household"', 'mix = { fruit_vegg = 1 }', 1), "fruit_veg",
    ),
    "dates out of order": (
        HOME + '\n[[closed]]\nname = "away"\nfrom = 2026-08-03\nto = 2026-07-20\n', "closed",
    ),
    "no text at all": ("", "missing"),
}  # fmt: skip


@pytest.mark.parametrize("verb", ["plan", "garden"])
@pytest.mark.parametrize("slip", SLIPS)
def test_a_wrong_file_is_told_in_one_line(capsys, tmp_path, verb, slip):
    text, said = SLIPS[slip]
    path = tmp_path / "site.toml"
    path.write_text(text, encoding="utf-8")
    line = refused(capsys, verb, path)
    assert "site.toml: " in line
    assert said in line


@pytest.mark.parametrize(
    "record", ["", "date,low,high\n", "\n\n\n"], ids=["empty", "head", "blank"]
)
def test_an_empty_temperature_record_is_told_with_its_name(capsys, tmp_path, record):
    (tmp_path / "weather.csv").write_text(record, encoding="utf-8")
    path = tmp_path / "site.toml"
    assert 'record = "mild-oceanic"' in HOME
    path.write_text(HOME.replace('record = "mild-oceanic"', 'csv = "weather.csv"'), "utf-8")
    assert "weather.csv" in refused(capsys, "plan", path)


def test_ten_megabytes_of_noise_are_refused(capsys, tmp_path):
    path = tmp_path / "site.toml"
    path.write_bytes(NOISE)
    assert "larger than 1000 kB" in refused(capsys, "plan", path)


def test_ten_megabytes_of_noise_are_no_temperature_record(capsys, tmp_path):
    (tmp_path / "weather.csv").write_bytes(NOISE)
    path = tmp_path / "site.toml"
    path.write_text(HOME.replace('record = "mild-oceanic"', 'csv = "weather.csv"'), "utf-8")
    assert "weather.csv" in refused(capsys, "plan", path)
