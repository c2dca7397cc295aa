"""The examples are good files, and the docs say what the model takes."""

import datetime as dt
import importlib.util
import tomllib
from pathlib import Path

import jsonschema
import pytest

from sourloam import units
from sourloam.site import Site, load, site_schema
from sourloam.site.schema import describe

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))


def plain(value):
    """Dates as JSON has them."""
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [plain(item) for item in value]
    return value.isoformat() if isinstance(value, dt.date) else value


def tables(path):
    return plain(tomllib.loads(path.read_text(encoding="utf-8")))


def test_there_is_a_home_a_school_a_cafe_and_a_garden():
    assert [path.stem for path in EXAMPLES] == ["cafe", "garden", "home", "school"]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_an_example_is_good_by_the_model_and_by_the_schema(path):
    assert load(path).place.kind == path.stem
    jsonschema.Draft202012Validator(site_schema()).validate(tables(path))


@pytest.mark.parametrize(
    ("section", "key", "wrong"),
    [
        ("site", "kind", "hoam"),
        ("site", "strange", 1),
        ("site", "start", None),
        ("room", "temperature", 20),
        ("ground", "raw_crops", "yes"),
        ("rules", "burial_allowed", "perhaps"),
    ],
)
def test_schema_and_model_refuse_alike(section, key, wrong):
    data = tables(ROOT / "examples" / "home.toml")
    data[section] |= {key: wrong}
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(data, site_schema())
    with pytest.raises(ValueError, match=key):
        Site.model_validate(data)


def test_every_key_says_what_it_means_and_every_bound_can_be_read():
    schema = site_schema()
    for section in schema["$defs"].values():
        for key, prop in section["properties"].items():
            assert prop["description"].endswith((".", "?")), key
            if "$comment" in prop:
                low, high = prop["$comment"].partition(", ")[2].split(" to ")
                assert any(
                    _read(low, d) is not None and _read(low, d) < _read(high, d)
                    for d in units.UNITS
                ), key


def _read(text, dimension):
    try:
        return units.parse(text, dimension)
    except units.UnitError:
        return None


def test_the_page_on_the_site_file_has_the_tables_of_the_model():
    page = (ROOT / "docs" / "site-file.md").read_text(encoding="utf-8")
    assert describe() in page, "run tools/describe_site_file.py"


def test_writing_the_tables_again_changes_nothing_and_needs_its_marks():
    file = ROOT / "tools" / "describe_site_file.py"
    spec = importlib.util.spec_from_file_location("describe_site_file", file)
    tool = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tool)
    page = tool.PAGE.read_text(encoding="utf-8")
    assert tool.rewritten(page) == page
    with pytest.raises(ValueError, match="needs the marks"):
        tool.rewritten("a page without them")
