"""The usual cautions of making, drying, keeping and handing out inoculated bran."""

from __future__ import annotations

from sourloam.bran.contract import Caution

_BEST = "our judgement"
_SEEN = "published"


def _one(key: str, text: str, source: str = "", standing: str = _BEST) -> Caution:
    return Caution.model_validate({"id": key, "text": text, "source": source, "standing": standing})


_ALWAYS = (
    _one(
        "dust",
        "Pour low and slowly, out of doors or by an open window, with a dust mask that fits "
        "(FFP2, N95 or better). Grain and flour dust cause asthma; once somebody is "
        "sensitised, a very small amount is enough.",
        "HSE RR829; HSE INDG140",
        _SEEN,
    ),
    _one(
        "people",
        "People with asthma, an allergy to moulds or to the carrier, or a weak immune system "
        "should not mix, dry or pack it.",
    ),
    _one(
        "mould",
        "White film is harmless. Green, black or pink: do not sniff it, damp it down, bag it "
        "and discard the batch.",
    ),
    _one(
        "gas",
        "Souring bran gives off carbon dioxide: never seal it in glass or in a container that "
        "cannot vent, open it away from the face, and air the room where many containers "
        "stand.",
    ),
    _one(
        "damp",
        "Bran that is neither dry nor airless moulds and may heat itself. Keep it closed, "
        "cool and dark; discard a bag that is warm, damp, caked or musty.",
        "Adams and Moss, Food Microbiology, section 5.5",
        _SEEN,
    ),
    _one("food", "Not food and not feed: keep it from children, pets and stock."),
)
_HEAT = _one(
    "heat",
    "Warm it gently, with a thermometer in the bran: no naked flame, no unwatched "
    "oven. Dry dust in the air can catch fire.",
)
_PESTS = _one(
    "pests",
    "Cover the trays with a cloth against flies, birds and mice, and take them in at night.",
)
_RULES = _one(
    "rules",
    "Making it for others, selling it, or handing it out may be ruled where you are: ask "
    "before you begin; local rules come before this page.",
)


def cautions(allergens: tuple[str, ...], dried: bool, sun_or_room: bool) -> tuple[Caution, ...]:
    """Those that apply; the law of the place goes before all of them."""
    named = f"Name on every bag: contains {' and '.join(allergens)}."
    return (
        *_ALWAYS,
        *((_HEAT,) if dried else ()),
        *((_PESTS,) if sun_or_room else ()),
        *((_one("allergens", named),) if allergens else ()),
        _RULES,
    )
