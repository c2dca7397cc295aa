"""What can be behind signs: one main cause at a time, "nothing wrong" being one of them.

One main cause, since nobody has numbers for two at once and what people can do at the vessel is
one thing after another; the second likeliest cause is always shown beside the first.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sourloam.ledger.sentences import gettext_noop as _
from sourloam.triage.sign import Stage

WELL: Mapping[Stage, str] = MappingProxyType({"vessel": "nothing_wrong", "ground": "ground_well"})


@dataclass(frozen=True)
class Cause:
    """A cause; ``label`` names it, ``why`` says what happens. Texts are English message ids."""

    id: str
    stage: Stage
    label: str
    why: str


_VESSEL = (
    ("nothing_wrong", _("Nothing wrong"), _("This is how a sound ferment looks and smells.")),
    (
        "air",
        _("Air gets in"),
        _("Through lid, seal or tap, or by much opening: moulds and other air-lovers grow."),
    ),
    (
        "thin_bran",
        _("Too little bran, or badly spread"),
        _("Where no bran lies, other microbes are faster than the lactic ones."),
    ),
    (
        "weak_bran",
        _("The bran has lost its strength"),
        _("Old, damp or overheated bran brings too few living lactic bacteria."),
    ),
    (
        "too_wet",
        _("The load is too wet"),
        _("Water thins sugar and acid; it sours slowly, and rot bacteria like it."),
    ),
    (
        "standing_liquid",
        _("Liquid was not drained"),
        _("Scraps that stand in liquid rot from below."),
    ),
    (
        "too_dry",
        _("The load is too dry"),
        _("Without water lactic bacteria hardly work; the food just keeps."),
    ),
    (
        "animal_food",
        _("Much meat, fish, cheese or fat"),
        _("Protein holds the pH up, and what rots it smells worst; it needs more bran."),
    ),
    (
        "rotten_scraps",
        _("Scraps were spoilt before they went in"),
        _("The wrong microbes had a start of days."),
    ),
    ("cold", _("It stands too cold"), _("Souring is slow in the cold and stops near freezing.")),
    (
        "hot",
        _("It stands too hot"),
        _("Heat favours yeasts and rot over lactic bacteria, and drives liquid out."),
    ),
    (
        "coarse",
        _("Large pieces, loosely packed"),
        _("Air stays in gaps, and acid needs long to reach the middle of a piece."),
    ),
    (
        "slow_filling",
        _("Filled very slowly"),
        _("The top met air again and again for weeks."),
    ),
    (
        "soil_inside",
        _("Soil or manure got in"),
        _("It brings spores of bacteria that turn acid into rot."),
    ),
    (
        "sugary",
        _("Very sweet or doughy load"),
        _("Yeasts make alcohol and gas of much sugar."),
    ),
    (
        "alkaline",
        _("Ash, lime or soda got in"),
        _("It eats up the acid, and the ferment cannot sour."),
    ),
    (
        "low_sugar",
        _("Too little sugar to sour on"),
        _("Coffee grounds, stalks and leaves feed lactic bacteria badly."),
    ),
    (
        "blocked_tap",
        _("Grid or tap is blocked"),
        _("Fine crumbs close it, and liquid stays inside."),
    ),
    ("broken_vessel", _("The vessel is damaged"), _("A crack, a seam or the tap lets air in.")),
    (
        "flies_got_in",
        _("Flies laid eggs"),
        _("On the scraps before, or through a gap."),
    ),
    (
        "killing_agent",
        _("Something that kills microbes got in"),
        _("Cleaner, much salt or medicine stops lactic bacteria too."),
    ),
    ("too_early", _("Looked too early"), _("It is on its way and needs more rest.")),
)
_GROUND = (
    ("ground_well", _("Nothing wrong"), _("This is how soil takes a ferment in.")),
    (
        "thin_cover",
        _("Too little soil on top"),
        _("Smell gets out; animals and flies find it."),
    ),
    (
        "thick_lump",
        _("One thick layer, not mixed with soil"),
        _("Air does not reach its middle, and it turns foul there."),
    ),
    (
        "waterlogged",
        _("The soil is heavy or waterlogged"),
        _("Without air the soil cannot take the ferment up."),
    ),
    (
        "cold_or_dry_soil",
        _("The soil is cold or dry"),
        _("Soil life rests; the ferment just lies there."),
    ),
    (
        "planted_too_soon",
        _("Planted too soon"),
        _("Roots met acid that soil had not yet used up."),
    ),
    (
        "nitrogen_tied_up",
        _("Nitrogen is tied up for a while"),
        _("Soil life takes nitrogen to work on paper, sawdust or bran."),
    ),
    ("salt", _("Too much salt"), _("Salt from food or liquid draws water out of roots.")),
    (
        "ammonia_burst",
        _("A burst of ammonia"),
        _("Much protein in a warm or limy soil lets ammonia go, which burns roots."),
    ),
    (
        "strong_liquid",
        _("Liquid was too strong"),
        _("Acid and salt burn roots and leaves when it is not thinned enough."),
    ),
    (
        "failed_batch_buried",
        _("A batch that had not soured was buried"),
        _("It goes on rotting under the soil."),
    ),
    (
        "animals_drawn",
        _("Meat or fish draws animals"),
        _("Dogs, foxes and rats smell it through the soil."),
    ),
    (
        "something_else",
        _("Something else than the ferment"),
        _("Water, light, a disease or a pest."),
    ),
)

_BY_STAGE: tuple[tuple[Stage, tuple[tuple[str, str, str], ...]], ...] = (
    ("vessel", _VESSEL),
    ("ground", _GROUND),
)
CAUSES: Mapping[str, Cause] = MappingProxyType(
    {
        cause_id: Cause(cause_id, stage, label, why)
        for stage, rows in _BY_STAGE
        for cause_id, label, why in rows
    }
)


def causes_of(stage: Stage) -> tuple[str, ...]:
    """Ids of the causes of a stage, "nothing wrong" first."""
    return tuple(c.id for c in CAUSES.values() if c.stage == stage)
