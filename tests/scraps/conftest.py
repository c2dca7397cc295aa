"""Parameters for the scraps room: central, and a sample."""

import numpy as np
import pytest

from sourloam import scraps
from sourloam.evidence import book


def evidence_ids():
    return [key for prefix in scraps.EVIDENCE for key in book().ids(prefix)]


@pytest.fixture(scope="session")
def central():
    return book().central(evidence_ids())


@pytest.fixture(scope="session")
def sampled():
    return book().sample(evidence_ids(), 500, np.random.default_rng(20))
