"""Parameters of the room, drawn once."""

import numpy as np
import pytest

from sourloam.evidence import book
from sourloam.impact import from_site


@pytest.fixture(scope="session")
def central():
    return book().central(from_site.evidence_ids())


@pytest.fixture(scope="session")
def drawn():
    return book().sample(from_site.evidence_ids(), 400, np.random.default_rng(4))
