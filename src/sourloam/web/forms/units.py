"""The reader's units on a form: factors to SI, and the words beside the fields."""

from __future__ import annotations

from django.utils.translation import gettext as _

from sourloam.units import factor
from sourloam.web.fields import UnitsOfForms


def units_of(system: str) -> UnitsOfForms:
    """Factors and words for a reader's system of units."""
    if system == "us":
        return UnitsOfForms(
            "us",
            {
                "mass": factor("lb", "mass"),
                "volume": factor("us gal", "volume") * 1000,
                "bran": factor("oz", "mass") * 1000,
                "liquid": factor("us fl oz", "volume") * 1e6,
                "length": factor("in", "length"),
                "bed": factor("ft", "length"),
            },
            {
                "mass": _("pounds"),
                "volume": _("US gallons"),
                "bran": _("ounces"),
                "liquid": _("fluid ounces"),
                "length": _("inches"),
                "bed": _("feet"),
                "temperature": "°F",
            },
        )
    return UnitsOfForms(
        "metric",
        {"mass": 1, "volume": 1, "bran": 1, "liquid": 1, "length": 0.01, "bed": 1},
        {
            "mass": _("kilograms"),
            "volume": _("litres"),
            "bran": _("grams"),
            "liquid": _("millilitres"),
            "length": _("centimetres"),
            "bed": _("metres"),
            "temperature": "°C",
        },
    )
