"""Parameters and a vessel that the tests of the room share."""

import numpy as np
import pytest
from invented_layers import BOOK, IDS

from sourloam import vessel


@pytest.fixture(scope="session")
def central():
    return BOOK.central(IDS)


@pytest.fixture(scope="session")
def drawn():
    """Sixty members drawn from the evidence."""
    return BOOK.sample(IDS, 60, np.random.default_rng(5))


@pytest.fixture(scope="session")
def pail():
    """A tapered 22 L pail, 17 L of it for scraps, with a plate of 2.5 kg."""
    return vessel.Vessel("pail", 0.2987, 0.2586, 0.366, 0.05, 0.04, 2.5)
