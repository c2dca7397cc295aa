"""Kernels that share the cores are compiled once, whatever may be written."""

import numpy as np

from sourloam.numerics.compiling import _writable


def test_what_may_not_be_written_is_copied_however_deep():
    fixed = np.broadcast_to(np.arange(3.0), (2, 3))
    own = np.zeros(2)
    (first, (second, number), third) = _writable((fixed, (fixed, 4), own))
    assert first.flags.writeable
    assert second.flags.writeable
    assert number == 4
    assert third is own
    assert np.array_equal(first, fixed)
