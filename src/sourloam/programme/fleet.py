"""How many vessels, how much floor, water and time a running exchange of vessels takes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sourloam.programme.drawn import Drawn, three
from sourloam.programme.facts import Three


@dataclass(frozen=True)
class Exchange:
    """An exchange as it is run: places, days to fill a vessel, days between rounds, days of rest
    at the hub, days until a rested one is washed and dry again."""

    places: int
    fill_days: float
    round_days: float
    rest_days: float
    clean_days: float = 2.0
    stack: int = 1


@dataclass(frozen=True)
class Fleet:
    """What it takes: vessels in all, of which rest at the hub, the floor for those, m²; a week's
    full vessels, water, L, and hours of work at the hub. ``at_home`` vessels if each place kept
    its own resting ones."""

    vessels: Three
    resting: Three
    floor_m2: Three
    weekly: float
    water_l: Three
    hours: Three
    at_home: int


def fleet(asked: Exchange, sample: Drawn) -> Fleet:
    """By the flow of vessels: each place always has one; the hub holds those that rest.

    ValueError for days that are not above 0.
    """
    if min(asked.fill_days, asked.round_days, asked.stack) <= 0 or asked.places < 0:
        raise ValueError("days to fill, days between rounds and stack: give more than 0")
    p, flow = sample.p, asked.places / asked.fill_days
    away = asked.round_days / 2 + asked.rest_days + asked.clean_days
    circulating = asked.places + flow * away
    resting = np.full(p.members, flow * (asked.rest_days + asked.clean_days))
    floor = resting / asked.stack * p["programme.hub.footprint"] * p["programme.hub.aisles"]
    minutes = (
        p["programme.hub.tip"]
        + p["programme.hub.wash"]
        + p["programme.hub.dose"]
        + p["programme.round.vessel"]
    )
    weekly = 7 * flow
    each = int(np.ceil((asked.fill_days + asked.rest_days) / asked.fill_days))
    return Fleet(
        vessels=three(np.ceil(circulating * (1 + p["programme.hub.spares"]))),
        resting=three(resting),
        floor_m2=three(floor),
        weekly=weekly,
        water_l=three(weekly * p["programme.hub.water"]),
        hours=three(weekly * minutes / 60),
        at_home=asked.places * each,
    )
