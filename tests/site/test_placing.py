"""The line that an error names is the line of the key."""

import pytest

from sourloam.site.placing import line_of

TEXT = """# a place
[site]
name = "x"  # volume = 3

[[vessel]]
name = "a"
volume = "1 L"
[[ vessel ]] # the second
"name" = "b"

[[scraps]]
from = "people"
[scraps.mix]
bread = 1
[[scraps]]
mix = {bread = 1}
"""


@pytest.mark.parametrize(
    ("steps", "line"),
    [
        (["site", "name"], 3),
        (["site", "volume"], 2),
        (["site"], 2),
        (["vessel", 0, "volume"], 7),
        (["vessel", 1, "name"], 9),
        (["vessel", 1, "volume"], 8),
        (["vessel", 2, "volume"], None),
        (["scraps", 0, "mix"], 11),
        (["scraps", 1, "mix"], 16),
        (["ground"], None),
        ([], None),
    ],
)
def test_a_key_is_found_on_its_line_and_a_missing_one_at_its_heading(steps, line):
    assert line_of(TEXT, steps) == line


def test_text_over_several_lines_could_mislead_and_gets_no_line():
    assert line_of("[site]\nname = '''\nstart = 1'''\nstart = 2\n", ["site", "start"]) is None
