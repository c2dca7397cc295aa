"""Invented gardens for the tests; nothing here is measured."""

from datetime import date

import numpy as np

from sourloam import soil
from sourloam.evidence import book
from sourloam.garden import (
    Bed,
    Finished,
    GardenInput,
    Planting,
    garden_evidence,
    usual_liquid,
)

START = date(2026, 3, 1)
TEXTURES = ("sand", "sandy_loam", "loam", "clay")


class Steady:
    """A soil whose waits are the same all year: the plan's view of the ground, by hand."""

    def __init__(self, wait=14.0, members=1, share=0.4, salt=0.12, textures=None):
        self.wait, self.members, self.share, self.salt = wait, members, share, salt

    def wait_days(self, texture, day, way, load_kg_m):
        return np.full(self.members, self.wait)

    def held_by(self, texture, day, load_kg_m):
        return "salt"

    def available_share(self, texture, element, day, stand=None):
        return np.full(self.members, self.share)

    def salt_rise_per_kg_m(self, texture, day, after_days):
        return np.full(self.members, self.salt)


def parameters(beds, members=1, seed=1):
    ids = garden_evidence(tuple(beds), tuple(book().rows))
    if members == 1:
        return book().central(ids)
    return book().sample(ids, members, np.random.default_rng(seed))


def vessel(name, ready_day, p, kg=12.0, with_meat=False, much_meat=False):
    return Finished(name, ready_day, soil.Portion.typical(kg, p), with_meat, much_meat)


def bed(name="Bed", length=10.0, width=1.2, texture="loam", plantings=(), **more):
    return Bed(name, length, width, texture, more.pop("depth", 0.4), tuple(plantings), **more)


def garden(beds, vessels, p, weeks=52, frozen_weeks=(), liquid=False):
    """A garden whose ground is 15 °C and can be dug but for the weeks named."""
    days = weeks * 7 + 240
    diggable = np.ones((p.members, days), dtype=bool)
    for week in frozen_weeks:
        diggable[:, week * 7 : week * 7 + 7] = False
    return GardenInput(
        name="Lower Fennick plot",
        start=START,
        weeks=weeks,
        beds=tuple(beds),
        vessels=tuple(vessels),
        soil_c={t: np.full((p.members, days), 15.0) for t in TEXTURES},
        diggable=dict.fromkeys(TEXTURES, diggable),
        liquid=usual_liquid(p) if liquid else None,
        supply_l=np.full((p.members, weeks), 0.3) if liquid else None,
    )


__all__ = ["START", "Planting", "Steady", "bed", "garden", "parameters", "vessel"]
