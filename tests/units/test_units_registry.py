"""Our short list of definitions against the units library's own long one."""

import pint
import pytest

from sourloam.units import registry as ours

PLAIN = sorted({name for name in ours._SPELLINGS if not name.startswith("book_")})


@pytest.fixture(scope="module")
def theirs():
    return pint.UnitRegistry(cache_folder=None)


@pytest.mark.parametrize("name", PLAIN)
def test_a_unit_is_as_large_as_the_librarys_own(theirs, name):
    mine, other = ours.registry().Quantity(2.0, name), theirs.Quantity(2.0, name)
    assert mine.to_base_units().magnitude * base(mine) == pytest.approx(
        other.to_base_units().magnitude * base(other), rel=1e-12
    )
    assert dict(mine.dimensionality) == dict(other.dimensionality)


def base(quantity):
    """Both lists may keep mass by another base unit, gram or kilogram."""
    return 1e-3 if "gram" in str(quantity.to_base_units().units).replace("kilogram", "") else 1
