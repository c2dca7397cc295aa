"""Steps that a sign itself asks for, whatever turns out to be behind it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from sourloam.ledger.sentences import gettext_noop as _
from sourloam.triage.remedies_ground import GROUND_REMEDIES
from sourloam.triage.remedies_vessel import VESSEL_REMEDIES

_FROST = _("Frost can crack vessel and tap: put a tray under it while it thaws.")
_COLOUR = _(
    "The colour follows the food: beet and red cabbage make it purple, starch makes it milky. Go "
    "by the smell at the tap."
)
_TRAY = VESSEL_REMEDIES["broken_vessel"].now[0]
_GAS = VESSEL_REMEDIES["sugary"].now[0]
_AIR_PRESS, _AIR_CHECK, _LIFT_MOULD = VESSEL_REMEDIES["air"].now
_HEAP = GROUND_REMEDIES["thin_cover"].now[0]
_THIRSTY = GROUND_REMEDIES["planted_too_soon"].now

#: Beside the remedy of any cause: without them it cannot be followed, or hands get hurt.
ALWAYS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "lid_bulges": (_GAS,),
        "tap_stuck": VESSEL_REMEDIES["blocked_tap"].now,
        "leak": (_TRAY,),
        "frozen": (_FROST,),
        "coloured_liquid": (_COLOUR,),
    }
)
#: While the cause is open; a named cause brings steps of its own.
MEANWHILE: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "flies": VESSEL_REMEDIES["flies_got_in"].now,
        "green_mould": (_LIFT_MOULD, _AIR_PRESS),
        "pink_mould": (_LIFT_MOULD, _AIR_PRESS),
        "lid_loose": (_AIR_CHECK,),
        "leak": (_AIR_CHECK,),
        "frozen": VESSEL_REMEDIES["cold"].now,
        "bran_off": VESSEL_REMEDIES["weak_bran"].now[:1],
        "animals_dig": GROUND_REMEDIES["thin_cover"].now,
        "flies_over_soil": (_HEAP,),
        "soil_smells": (_HEAP,),
        "water_stands": GROUND_REMEDIES["waterlogged"].now[:1],
        "ammonia_in_soil": GROUND_REMEDIES["ammonia_burst"].now,
        "yellow_seedlings": _THIRSTY,
        "seedlings_die": _THIRSTY,
        "burnt_leaves": GROUND_REMEDIES["strong_liquid"].now,
        "salt_crust": GROUND_REMEDIES["salt"].now,
    }
)


#: Signs whose first steps say themselves when to sow again.
GROWING = frozenset(sign for sign, steps in MEANWHILE.items() if steps == _THIRSTY)


def steps_for(signs: Iterable[str], table: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """The steps in the order of the table, each once."""
    seen = set(signs)
    return tuple(dict.fromkeys(s for sign, steps in table.items() if sign in seen for s in steps))
