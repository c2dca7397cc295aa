"""The cast: a coordinator, a keeper, a gardener, a reader, one who left, a stranger; two places."""

from types import SimpleNamespace

import pytest

from sourloam.ledger import ROLES


@pytest.fixture
def cast(db):
    """``cast.home`` is a place with everybody; ``cast.other`` one of the stranger's own."""
    from django.contrib.auth.models import User
    from django.utils import timezone

    from sourloam.logbook import standing
    from sourloam.logbook.models import Membership
    from sourloam.logbook.people import make_place

    standing.forget()
    names = (*ROLES, "gone", "stranger")
    people = {name: User.objects.create(username=name) for name in names}
    home = make_place(people["coordinator"], "Flat at Alder Row")
    for role in ROLES[1:]:
        Membership.objects.create(place=home, person=people[role], role=role)
    Membership.objects.create(
        place=home, person=people["gone"], role="coordinator", withdrawn_at=timezone.now()
    )
    other = make_place(people["stranger"], "Another flat")
    return SimpleNamespace(**people, home=home, other=other, people=people)
