"""The page on the reckoning says what the program does."""

import re
import tomllib
from pathlib import Path

from sourloam.impact import Local
from sourloam.impact.money import Landfill, Prices

PAGE = (Path(__file__).parents[2] / "docs" / "impact.md").read_text(encoding="utf-8")


def test_the_file_of_the_page_is_read_and_names_every_key():
    text = re.search(r"```toml\n(.*?)```", PAGE, re.DOTALL)[1]
    given = tomllib.loads(text)
    local = Local.model_validate(given)
    assert set(given["prices"]) == set(Prices.model_fields)
    assert set(given["bin"]) == set(Landfill.model_fields)
    assert local.to_bin().haul_km == 25
    for name in ("semi_aerobic", "deep", "shallow", "unknown"):
        assert Local.model_validate({"bin": {"landfill": name}}).bin.landfill == name


def test_every_option_stands_on_the_page():
    import inspect

    from sourloam.cli.impact import impact

    named = {"site_files": "SITE.toml", "bin_file": "--bin"}
    for name in inspect.signature(impact).parameters:
        assert named.get(name, f"--{name.replace('_', '-')}") in PAGE, name
