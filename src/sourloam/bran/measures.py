"""Cups and spoons of carrier and of finished bran, by loose density."""

from __future__ import annotations

from sourloam.units import factor

#: Cups that can be asked for.
CUPS: tuple[str, ...] = ("us_cup", "metric_cup", "imperial_cup")


def cups(mass_kg: float, bulk_density_kg_m3: float, cup: str = "metric_cup") -> float:
    """Level cupfuls that hold ``mass_kg`` of a loose powder; KeyError for an unknown cup."""
    if cup not in CUPS:
        raise KeyError(cup)
    return mass_kg / bulk_density_kg_m3 / factor(cup.replace("_", " "), "volume")
