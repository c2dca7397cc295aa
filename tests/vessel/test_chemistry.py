"""Every reaction balances, and molar masses come from the atoms."""

import pytest

from sourloam.vessel.chemistry import FORMULAS, REACTIONS, molar_masses


@pytest.mark.parametrize("reaction", REACTIONS)
def test_every_reaction_keeps_every_atom(reaction):
    for atom in "CHON":
        changes = REACTIONS[reaction].items()
        assert sum(n * FORMULAS[substance].get(atom, 0) for substance, n in changes) == 0


def test_molar_masses_add_up_from_atoms(central):
    masses = molar_masses(central)
    assert masses.lactic == pytest.approx(0.0900780, rel=1e-6)
    assert masses.hexose == pytest.approx(masses.starch + masses.water, rel=1e-12)
    assert 2 * masses.lactic == pytest.approx(masses.hexose, rel=1e-12)
