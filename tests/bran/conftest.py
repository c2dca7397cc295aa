"""Values drawn once for all tests of the room."""

import numpy as np
import pytest

from sourloam.bran import EVIDENCE, draw
from sourloam.evidence import book


@pytest.fixture(scope="session")
def usual():
    """The central value of everything, one member."""
    ids = dict.fromkeys(key for prefix in EVIDENCE for key in book().ids(prefix))
    return book().central(ids)


@pytest.fixture(scope="session")
def drawn():
    """Forty possible worlds."""
    return draw(book(), 40, np.random.default_rng(7))
