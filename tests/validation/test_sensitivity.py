"""What moves a household's vessel."""

import pytest

pytest.importorskip("SALib")

from sourloam.validation import sensitivity, sensitivity_chart


@pytest.fixture(scope="module")
def found():
    return sensitivity(32, 1)


def test_how_much_is_fed_moves_the_fill_time_most(found):
    assert found.ranked("fill", 1)[0][0] == "scraps a day"


def test_warmth_moves_the_rest_most(found):
    assert found.ranked("rest", 1)[0][0] == "temperature of the vessel"


def test_dry_matter_moves_the_liquid_most(found):
    assert found.ranked("liquid", 1)[0][0] == "dry matter of the mix"


def test_buffering_moves_the_last_ph_most(found):
    assert found.ranked("ph", 1)[0][0] == "buffering of the mix"


def test_every_factor_has_an_index_for_every_output(found):
    assert found.runs == 32 * (len(found.labels) + 2)
    for output in found.total:
        assert set(found.total[output]) == set(found.labels)


def test_table_and_figure_show_the_strongest(found):
    assert "| 1 | scraps a day" in found.table()
    assert "scraps a day" in str(sensitivity_chart(found).to_dict())
