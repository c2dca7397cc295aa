"""What the report on a place's achievement says besides its figures."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from sourloam.impact import claims, from_log, from_site, saying

WAYS = {
    "ferment": "fermented and buried",
    "landfill": "landfill",
    "incinerator": "incinerator",
    "compost_works": "compost works",
    "heap": "compost heap at home",
    "well_run_heap": "well-run compost heap",
}
PARTS = (
    "growing and milling the bran",
    "molasses in the bran",
    "drying the bran",
    "making the vessels",
    "driving",
    "methane from the vessels",
    "nitrous oxide from the vessels",
    "nitrous oxide from the soil",
    "methane from the trench",
    "liquid down a drain",
    "methane from the landfill",
    "methane of burning",
    "nitrous oxide of burning",
    "methane of composting",
    "nitrous oxide of composting",
    "machines of the works",
    "the bin lorry",
)
AFTER_ALL = "what went to the bin after all: "
WHERES = (
    "air",
    "air and water",
    "air, as carbon dioxide",
    "air, as methane",
    "bin",
    "drain",
    "garden soil",
    "landfill",
    "landfill and its water",
)
STATEMENTS = (
    "It is ten times faster than composting.",
    "It brings twice the nitrogen of compost to the garden, from the same scraps.",
    "A kilogram of ferment holds twice the nutrients of a kilogram of compost.",
    "It brings twice the phosphorus of compost to the garden.",
    "It gives off no methane.",
    "Nothing is lost: all the carbon ends up in the soil.",
    "It is better for the climate than the landfill.",
    "It is better for the climate than a well-run compost heap.",
    "It leaves more carbon in the soil than composting the same scraps.",
    "It doesn't smell.",
    "It works because of special microbes.",
)
FIGURE_WORDS = (
    "a neglected heap's time over that of rest and soil together",
    "nitrogen to the garden, fermented over composted",
    "nitrogen in a kg of ferment over that in a kg of compost",
    "phosphorus to the garden, fermented over composted",
    "methane from vessel and trench, for each kg of scraps",
    "carbon that is gone a year after burial",
    "saved for each tonne of scraps",
    "carbon more in the soil after 20 years, for each kg of scraps",
    "not computed for your case; published tests only",
)
REASONS = (
    "Compost loses nitrogen to the air while it heats; a closed vessel loses little. That is owed "
    "to the lid, not to the inoculum. How much a vessel of kitchen scraps keeps has not been "
    "measured in any reviewed study that we found.",
    "Ferment is mostly water and weighs nearly what went in; compost shrinks.",
    "Phosphorus does not leave by the air: both ways keep nearly all of it.",
    "Sourness stops the makers of methane, and little was found; but little is not none: it was "
    "found in every treatment of two studies. The trench has never been measured; most of this "
    "range is our judgement.",
    "The vessel itself loses little. Life in the soil breathes out most of the rest within a year, "
    "as it does with any fresh matter: the loss is put off, not avoided.",
    "Food in a landfill makes methane for years. What is caught there decides how much; with the "
    "best gas wells the saving shrinks but seldom ends.",
    "A heap that is airy and not too wet gives off little. What a trench of ferment gives off has "
    "never been measured.",
    "Compost loses its carbon before it reaches the soil, ferment afterwards. Bran brings some "
    "carbon too. After twenty years little of either is left, and the difference is small beside "
    "what is not known.",
    "Closed and sour it smells less than open scraps; it smells sour when opened, and foul when it "
    "fails. In one comparison of aids against odour, newspaper did better than inoculated bran.",
    "Enough live lactic bacteria make souring faster and more even in silage. With kitchen scraps, "
    "sterile bran gave the same gases in one study and the same plant growth in another.",
)
SHORT_TON = {"saved for each tonne of scraps": "saved for each short ton of scraps"}
MONEY = (
    "bin, by weight",
    "collections not needed",
    "fertiliser not bought",
    "inoculated bran",
    "vessels, their share of the period",
    "paid hours",
    "rinsing water",
)
VERDICTS = ("supported", "not supported", "cannot be told")
STANDINGS = (
    "published",
    "common practice, no source",
    "from memory, unverified",
    "our judgement",
)
UNITS = ("times", "tonne-kilometres", "short ton-miles", "US gal", "weeks", "days", "1/yr")
MATTERS = ("carbon", "nitrogen")
AMOUNTS = {
    "scraps.amount": "scraps kept from the bin",
    "scraps.carbon": "carbon in the scraps",
    "scraps.nitrogen": "nitrogen in the scraps",
}


@cache
def spanish_sources() -> dict[str, dict[str, str]]:
    """Name and conditions of rows of the evidence in Spanish, by id."""
    text = files("sourloam.documents").joinpath("sources_spanish.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def sentences() -> set[str]:
    """Every text of this report that stands in registers, for the list of translations."""
    found = {*WAYS.values(), *PARTS, AFTER_ALL, *WHERES, *STATEMENTS, *FIGURE_WORDS, *REASONS}
    found |= {
        *SHORT_TON.values(),
        *MONEY,
        *VERDICTS,
        *STANDINGS,
        *UNITS,
        *MATTERS,
        *AMOUNTS.values(),
    }
    found |= {*claims.FASTER.values(), *from_log.MEASURED.values(), *from_site.FORESEEN.values()}
    return found | {*saying.CAUTIONS, *saying.NOTES}
