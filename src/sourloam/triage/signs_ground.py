"""Signs in the ground after burial, and on plants after feeding or planting."""

from __future__ import annotations

from sourloam.ledger.sentences import gettext_noop as _
from sourloam.triage.sign import Effort, Group, Sign

_DIG = _("Dig a small hole beside the trench, with gloves.")


def _ground(
    sign_id: str, label: str, question: str, group: Group, effort: Effort, drawn: str, how: str = ""
) -> Sign:
    return Sign(sign_id, label, question, group, effort, drawn, "ground", how)


_SOIL = (
    _ground(
        "soil_smells",
        _("soil over it still smells bad after two weeks"),
        _("Does the soil over it smell bad two weeks or more after burying?"),
        "soil",
        "smell",
        "a mound with wavy lines",
    ),
    _ground(
        "earth_smell",
        _("smells of earth"),
        _("Dig a little: does it smell of earth, like a wood?"),
        "soil",
        "dig",
        "a handful of crumbs, a leaf",
        _DIG,
    ),
    _ground(
        "animals_dig",
        _("animals dig it up"),
        _("Do animals dig there?"),
        "soil",
        "look",
        "a paw print beside a hole",
    ),
    _ground(
        "flies_over_soil",
        _("flies over the spot"),
        _("Do flies gather over the spot?"),
        "soil",
        "look",
        "flies above a mound",
    ),
    _ground(
        "soil_sinks",
        _("ground sinks, a hollow appears"),
        _("Has the ground sunk, leaving a hollow?"),
        "soil",
        "look",
        "a shallow hollow in a bed",
    ),
    _ground(
        "white_threads",
        _("white threads in the buried ferment"),
        _("Dig a little: are there white threads through it?"),
        "soil",
        "dig",
        "a cut through soil with white threads",
        _DIG,
    ),
    _ground(
        "lumps_found",
        _("wet or dry lumps still to be recognised"),
        _("Dig a little: are there lumps of ferment still to be recognised?"),
        "soil",
        "dig",
        "a cut through soil, a dark lump",
        _DIG,
    ),
    _ground(
        "water_stands",
        _("water stands in the hole, soil sticks"),
        _("Does water stand in a hole there, or does the soil smear and stick?"),
        "soil",
        "dig",
        "a hole with water at the bottom",
        _DIG,
    ),
    _ground(
        "ammonia_in_soil",
        _("soil smells of ammonia"),
        _("Does the soil smell of ammonia, like a stable?"),
        "soil",
        "smell",
        "a mound with short sharp strokes",
    ),
    _ground(
        "worms_flee",
        _("worms leave the spot"),
        _("Do worms leave the spot or gather at its edge?"),
        "soil",
        "dig",
        "worms turning away from a dark patch",
        _DIG,
    ),
)
_PLANTS = (
    _ground(
        "yellow_seedlings",
        _("seedlings turn yellow"),
        _("Do seedlings or young plants turn yellow?"),
        "plants",
        "look",
        "a pale seedling",
    ),
    _ground(
        "seedlings_die",
        _("seedlings die or do not come up, roots brown"),
        _("Do seedlings die or fail to come up, or are their roots brown?"),
        "plants",
        "look",
        "a fallen seedling with brown roots",
    ),
    _ground(
        "burnt_leaves",
        _("leaf edges burnt after feeding"),
        _("Are leaf edges brown or burnt, above all after feeding with liquid?"),
        "plants",
        "look",
        "a leaf with a brown rim",
    ),
    _ground(
        "salt_crust",
        _("white crust on soil or pot"),
        _("Is there a white crust on the soil or the pot?"),
        "plants",
        "look",
        "a pot with a white rim",
    ),
    _ground(
        "wilting",
        _("plants wilt though the soil is moist"),
        _("Do plants wilt although the soil is moist?"),
        "plants",
        "look",
        "a hanging plant, drops in the soil",
    ),
    _ground(
        "unburied_bed_too",
        _("the same where nothing was buried or fed"),
        _("Does the same happen where nothing was buried or fed?"),
        "plants",
        "look",
        "two beds side by side, the same pale plant in both",
    ),
)
_BURIAL = tuple(
    _ground(sign_id, label, question, "burial", "told", drawn)
    for sign_id, label, question, drawn in (
        (
            "planted_early",
            _("planted less than two weeks after burying"),
            _("Was it planted or sown less than two weeks after burying?"),
            "a seedling above a fresh trench",
        ),
        (
            "fed_strong",
            _("liquid given stronger than 1 to 100, or on leaves"),
            _("Was the liquid stronger than 1 part in 100 of water, or did it reach leaves?"),
            "a small can with much dark liquid",
        ),
        (
            "cover_thin",
            _("covered with less than a hand of soil"),
            _("Is there less than about 20 cm (a hand's length) of soil on top?"),
            "a trench with a thin cover beside a hand",
        ),
        (
            "buried_thick",
            _("laid in one thick layer, not mixed with soil"),
            _("Was it laid in one thick layer, not mixed with soil?"),
            "a trench with one solid block",
        ),
        (
            "paper_in_batch",
            _("much paper, sawdust or bran in it"),
            _("Was there much paper, sawdust or bran in it?"),
            "shreds of paper in a layer",
        ),
        (
            "animal_buried",
            _("meat, fish or bones in it"),
            _("Was there meat, fish or bone in it?"),
            "a bone in a trench",
        ),
        (
            "soil_cold_or_dry",
            _("soil is cold or dust-dry"),
            _("Is the soil cold, as in winter, or dry as dust?"),
            "cracked soil beside a snowflake",
        ),
        (
            "salty_place",
            _("pots, dry climate, salty leftovers or liquid again and again"),
            _("Is it a pot or a dry place, or was it fed with salty leftovers or liquid often?"),
            "a pot, a sun, a salt cellar",
        ),
        (
            "batch_was_bad",
            _("the batch was not sour when it was buried"),
            _("Did the batch smell bad, or had it not soured, when it was buried?"),
            "a vessel with wavy lines tipped into a trench",
        ),
    )
)
GROUND_SIGNS: tuple[Sign, ...] = (*_SOIL, *_PLANTS, *_BURIAL)
