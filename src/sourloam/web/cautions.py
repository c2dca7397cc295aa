"""Usual cautions of a vessel's page: where the work can hurt, said once, with the source."""

from __future__ import annotations

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from sourloam.ledger.state import VesselState

Caution = dict[str, str | Promise]

_OPENING: Caution = {
    "title": gettext_lazy("Open slowly"),
    "text": gettext_lazy(
        "Gas may stand under a tight lid. Loosen it slowly, face turned away, outdoors or with a "
        "window open."
    ),
    "source": gettext_lazy("Our judgement; the chemistry of fermentation."),
}
_HANDS: Caution = {
    "title": gettext_lazy("Gloves, then wash your hands"),
    "text": gettext_lazy(
        "Treat scraps, ferment and liquid as raw food: cover cuts, do not eat meanwhile, never "
        "taste. A sour smell is no proof that germs are gone."
    ),
    "source": gettext_lazy("Published trials of germs in soured kitchen waste; see the plan."),
}
_LIQUID: Caution = {
    "title": gettext_lazy("The liquid is acid"),
    "text": gettext_lazy(
        "It stings eyes and skin and marks stone and metal. Thin it well before it meets a plant; "
        "never pour it into a stream, ditch or storm drain; never mix it with bleach."
    ),
    "source": gettext_lazy("Guidance on silage liquor; your own local rules come first."),
}
_BURIAL: Caution = {
    "title": gettext_lazy("Before you bury"),
    "text": gettext_lazy(
        "Local rules come first. Keep well away from water, cover it well so that animals do not "
        "notice, and keep raw salad off that ground until the trench is done."
    ),
    "source": gettext_lazy("Usual practice; distances and rules differ from place to place."),
}
_ROTTEN: Caution = {
    "title": gettext_lazy("If it smells rotten"),
    "text": gettext_lazy(
        "Do not breathe over it and do not bury it near food. Wear gloves, close it, and let "
        "people with weak defences keep away. When in doubt ask your local authority."
    ),
    "source": gettext_lazy("Our judgement, from public health guidance."),
}
_BY_STAGE = {
    "failed": (_ROTTEN, _HANDS, _OPENING),
    "ready": (_BURIAL, _HANDS, _OPENING),
    "resting": (_OPENING, _LIQUID, _HANDS),
    "filling": (_HANDS, _LIQUID, _OPENING),
}


def cautions(vessel: VesselState) -> tuple[Caution, ...]:
    """What to mind at this vessel now, the weightiest first."""
    return _BY_STAGE.get(vessel.stage, (_HANDS,))


_BY_WORK = {
    "feed": _HANDS,
    "drain": _LIQUID,
    "check": _OPENING,
    "set_aside": _HANDS,
    "wash": _HANDS,
    "bury": _BURIAL,
}


def for_work(what: str) -> Caution | None:
    """What to mind at one piece of work that is due."""
    return _BY_WORK.get(what)
