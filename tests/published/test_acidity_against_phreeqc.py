"""pH by our charge balance against an independent general-purpose chemistry engine.

The engine is PHREEQC 3 (Parkhurst D.L., Appelo C.A.J. (2013) Description of input and examples
for PHREEQC version 3, US Geological Survey Techniques and Methods 6-A43), given the same
dissociation constants and the Davies equation.
"""

from pathlib import Path

import numpy as np
import phreeqc
import pytest

from sourloam.vessel.acidity import davies_log10, solve_ph

CONSTANTS = {"lactic": 3.86, "acetic": 4.756, "butyric": 4.83, "ammonium": 9.252, "water": 13.995}
DEFINITIONS = """
SOLUTION_MASTER_SPECIES
    Lac Lac- 0.0 Lac 89.07
    Act Act- 0.0 Act 59.04
    But But- 0.0 But 87.10
    Amn AmnH+ 0.0 Amn 17.03
SOLUTION_SPECIES
    Lac- = Lac-
        log_k 0
    Act- = Act-
        log_k 0
    But- = But-
        log_k 0
    AmnH+ = AmnH+
        log_k 0
    Lac- + H+ = HLac
        log_k 3.86
    Act- + H+ = HAct
        log_k 4.756
    But- + H+ = HBut
        log_k 4.83
    AmnH+ = Amn + H+
        log_k -9.252
"""
MIXTURES = [
    # lactic, acetic, butyric, ammonia, sodium, mol/kg water
    (0.10, 0.05, 0.0, 0.0, 0.02),
    (0.20, 0.02, 0.0, 0.01, 0.10),
    (0.30, 0.05, 0.0, 0.02, 0.15),
    (0.05, 0.10, 0.0, 0.0, 0.06),
    (0.02, 0.02, 0.10, 0.05, 0.05),
    (0.0, 0.05, 0.10, 0.12, 0.02),
    (0.25, 0.0, 0.0, 0.0, 0.05),
    (0.0, 0.0, 0.0, 0.10, 0.0),
]


@pytest.fixture(scope="module")
def engine():
    made = phreeqc.Phreeqc()
    folder = Path(phreeqc.__file__).parent / "databases"
    assert made.LoadDatabase(str(folder / "phreeqc.dat")) == 0
    return made


def engine_answer(engine, lactic, acetic, butyric, ammonia, sodium):
    """pH and ionic strength by the engine."""
    failed = engine.RunString(
        DEFINITIONS
        + f"""
SOLUTION 1
    units mol/kgw
    pH 7 charge
    Na {sodium}
    Lac {lactic}
    Act {acetic}
    But {butyric}
    Amn {ammonia}
SELECTED_OUTPUT
    -reset false
    -pH true
    -ionic_strength true
END
"""
    )
    assert failed == 0, engine.GetErrorString()
    assert "Could not find" not in engine.GetWarningString()
    found = engine.GetSelectedOutput()
    return found["pH"][-1], found["mu"][-1]


def our_ph(strength, lactic, acetic, butyric, ammonia, sodium):
    activity = davies_log10(np.array([strength]), np.array([0.509]), np.array([0.3]))[0]
    shift = {"lactic": 1, "acetic": 1, "butyric": 1, "ammonium": -1, "water": 0}
    constants = np.array([10 ** -(pk + shift[k] * activity) for k, pk in CONSTANTS.items()])
    return solve_ph(5.0, lactic, acetic, butyric, ammonia, constants, sodium, 1e-12, 6e-12, 1.0)


@pytest.mark.parametrize("mixture", MIXTURES)
def test_ph_agrees_with_an_independent_engine(engine, mixture):
    published, strength = engine_answer(engine, *mixture)
    assert our_ph(strength, *mixture) == pytest.approx(published, abs=0.02)


def test_leaving_activity_out_would_show(engine):
    """The check bites: without activity coefficients the first mixture is 0.06 pH off."""
    published, _ = engine_answer(engine, *MIXTURES[0])
    assert abs(our_ph(0.0, *MIXTURES[0]) - published) > 0.04
