"""Names stand in the order in which people count."""

from hypothesis import given
from hypothesis import strategies as st

from sourloam.site.ordering import in_order


def test_bin_two_stands_before_bin_ten():
    names = ["Bin 10", "bin 2", "Bin 1", "2 L jar", "10 L pail", "Blue"]
    assert sorted(names, key=in_order) == [
        "2 L jar",
        "10 L pail",
        "Bin 1",
        "bin 2",
        "Bin 10",
        "Blue",
    ]


@given(st.lists(st.text()))
def test_any_names_can_be_sorted(names):
    assert sorted(sorted(names, key=in_order)) == sorted(names)
