"""Invented places of a programme, as plain facts."""

import datetime as dt
from dataclasses import replace

from sourloam.programme.facts import BranFacts, GroundFacts, PlaceFacts, VesselFacts

TODAY = dt.date(2026, 5, 18)


def ago(days):
    return TODAY - dt.timedelta(days=days)


def ahead(days):
    return TODAY + dt.timedelta(days=days)


def filling(name="Blue pail", low=3, middle=5, high=9, **more):
    return VesselFacts(
        name.lower(),
        name,
        "filling",
        8.0,
        ago(20),
        (ahead(low), ahead(middle), ahead(high)),
        **more,
    )


def free(name="Green pail"):
    return VesselFacts(name.lower(), name, "empty")


def resting(name="Tin", kg=14.0, stage="resting"):
    return VesselFacts(name.lower(), name, stage, kg, ago(12), finished_on=ahead(4))


def place(name="House at 3 Alder Row", every=3, quiet=1, vessels=None, **more):
    days = tuple(ago(quiet + every * n) for n in range(30, -1, -1))
    given = {
        "bran": BranFacts(1.0, (0.015, 0.02, 0.03)),
        "ground": GroundFacts(20.0, (6.0, 10.0, 11.0), 0.6, TODAY),
        "kg_by_way": {"bowl": 60.0},
        "kg_by_month": {"2026-04-01": 40.0, "2026-05-01": 20.0},
    }
    facts = PlaceFacts(
        name.lower(), name, "home", TODAY, vessels or (filling(), free()), days, **(given | more)
    )
    return replace(facts)
