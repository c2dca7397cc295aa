"""From a sign that was smelled or seen to the conversation about it, with that sign told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sourloam.triage import SIGNS
from sourloam.web.finding.hits import Hit, chosen
from sourloam.web.finding.matching import matching, of_a_sentence
from sourloam.web.house import Inside

_MOST = 9  # signs that one word finds, as many as there are smells
_STAGES = ("failed", "filling", "resting", "ready", "held", "dirty", "empty")
_SMELL = gettext_lazy("smell smells smelly odour odor stink nose")

#: Words that somebody might type for a sign; a translation holds its own.
WORDS: dict[str, tuple[str | Promise, ...]] = {
    "rotten_smell": (
        _SMELL,
        gettext_lazy("rotten rot sewage eggs putrid foul bad stinks disgusting"),
    ),
    "rancid_smell": (_SMELL, gettext_lazy("rancid butter sweat vomit cheese feet")),
    "vinegar_smell": (_SMELL, gettext_lazy("vinegar acetic")),
    "sharp_vinegar_smell": (_SMELL, gettext_lazy("vinegar sharp stings stinging eyes")),
    "alcohol_smell": (_SMELL, gettext_lazy("alcohol yeast beer wine spirits pear")),
    "ammonia_smell": (_SMELL, gettext_lazy("ammonia stable urine")),
    "musty_smell": (_SMELL, gettext_lazy("musty cellar damp")),
    "weak_smell": (_SMELL, gettext_lazy("nothing little none weak")),
    "sour_smell": (_SMELL, gettext_lazy("sour pickles")),
    "white_bloom": (gettext_lazy("white bloom fuzz fluff mould mold mouldy fungus threads"),),
    "green_mould": (gettext_lazy("green blue black mould mold mouldy moldy fungus"),),
    "pink_mould": (gettext_lazy("pink orange red mould mold patches"),),
    "mould_specks": (gettext_lazy("mould mold specks spots bread coffee"),),
    "mould_throughout": (gettext_lazy("mould mold inside throughout everywhere"),),
    "flies": (gettext_lazy("maggots maggot flies fly larvae worms grubs insects vermin"),),
    "no_liquid": (gettext_lazy("no liquid juice nothing dry drains"),),
    "much_liquid": (gettext_lazy("much liquid juice wet overflows every day"),),
    "foul_liquid": (gettext_lazy("foul dark black liquid juice stinks"),),
    "dark_liquid": (gettext_lazy("dark brown black liquid juice"),),
    "coloured_liquid": (gettext_lazy("purple red grey gray milky colour color liquid juice"),),
    "liquid_stands": (gettext_lazy("stands flooded soaked swims liquid juice"),),
    "tap_stuck": (gettext_lazy("tap blocked clogged stuck spigot"),),
    "slimy": (gettext_lazy("slime slimy slippery"),),
    "dry_crumbly": (gettext_lazy("dry crumbly dusty"),),
    "drips": (gettext_lazy("drips dripping wet squeezed"),),
    "unchanged": (gettext_lazy("unchanged fresh same food undecomposed"),),
    "lid_bulges": (gettext_lazy("lid bulges hisses gas pressure swollen bubbles"),),
    "condensation": (gettext_lazy("drops condensation water lid"),),
    "warm": (gettext_lazy("warm hot heat"),),
    "frozen": (gettext_lazy("frozen ice frost winter"),),
    "sour_strip": (gettext_lazy("ph strip paper 4 4.5 low acid"),),
    "middling_strip": (gettext_lazy("ph strip paper 4.5 5"),),
    "high_strip": (gettext_lazy("ph strip paper 5 6 7 high"),),
    "high_strip_young": (gettext_lazy("ph strip paper 5 6 young"),),
    "leak": (gettext_lazy("leak leaks leaking seam crack"),),
    "lid_loose": (gettext_lazy("lid seal loose air gap"),),
    "bran_off": (gettext_lazy("bran clumped lumpy mouldy off"),),
    "stands_cold": (gettext_lazy("cold winter unheated shed"),),
    "stands_hot": (gettext_lazy("sun hot heat summer"),),
    "soil_smells": (_SMELL, gettext_lazy("soil ground bed garden buried")),
    "animals_dig": (gettext_lazy("animals dig dug rats fox dog cat badger hedgehog bear"),),
    "flies_over_soil": (gettext_lazy("flies fly soil ground bed spot"),),
    "soil_sinks": (gettext_lazy("sinks hollow sunk ground bed"),),
    "white_threads": (gettext_lazy("white threads mould mold fungus buried soil"),),
    "lumps_found": (gettext_lazy("lumps recognise undecomposed soil"),),
    "water_stands": (gettext_lazy("water stands puddle hole waterlogged sticky"),),
    "ammonia_in_soil": (_SMELL, gettext_lazy("ammonia soil")),
    "worms_flee": (gettext_lazy("worms earthworms leave flee"),),
    "yellow_seedlings": (gettext_lazy("yellow seedlings plants leaves"),),
    "seedlings_die": (gettext_lazy("seedlings die dead roots brown plants"),),
    "burnt_leaves": (gettext_lazy("burnt burned leaves edges plants scorched"),),
    "salt_crust": (gettext_lazy("salt crust white pot"),),
    "wilting": (gettext_lazy("wilt wilting droop plants"),),
}


@dataclass(frozen=True)
class _Sign:
    id: str
    label: str
    words: str


def signs(insides: Sequence[Inside], asked: str) -> list[Hit]:
    """Signs of that name, each with the vessels or beds that may show it."""
    if not asked:
        return []
    every = [
        _Sign(key, _(SIGNS[key].label), " ".join(str(part) for part in words))
        for key, words in WORDS.items()
    ]
    found = matching(every, asked, _words, strict=True) or of_a_sentence(every, asked, _words)
    found = found[:_MOST]
    hits = (_hit(sign, insides) for sign in found)
    return [hit for hit in hits if hit is not None]


def _words(sign: _Sign) -> str:
    return sign.words


def _hit(sign: _Sign, insides: Sequence[Inside]) -> Hit | None:
    """Leads straight on where only one thing may show the sign."""
    of_bed = SIGNS[sign.id].stage == "ground"
    pages = _beds(insides) if of_bed else _vessels(insides)
    things = [(name, f"{url}?begun=1&seen={sign.id}") for name, url in pages]
    if not things:
        return None
    what = sign.label[:1].upper() + sign.label[1:]
    if len(things) == 1:
        return Hit(what, things[0][1], why=things[0][0])
    ask = _("In which bed?") if of_bed else _("In which vessel?")
    return Hit(what, things[0][1], chips=tuple(chosen(things)), folded=True, ask=ask)


def _vessels(insides: Sequence[Inside]) -> Iterator[tuple[str, str]]:
    """Vessels that hold something, those first where trouble is likely."""
    some = [
        (one, vessel, one.stage(vessel))
        for one in insides
        for vessel in one.state.vessels
        if vessel.retired is None and vessel.added and vessel.turn is not None
    ]
    for one, vessel, _stage in sorted(some, key=lambda found: _STAGES.index(found[2])):
        url = reverse("web:rescue", args=[one.house.id, vessel.id])
        yield _name(vessel.name, one, insides), url


def _beds(insides: Sequence[Inside]) -> Iterator[tuple[str, str]]:
    for one in insides:
        for bed in one.state.beds:
            url = reverse("web:rescue_bed", args=[one.house.id, bed.id])
            yield _name(bed.name, one, insides), url


def _name(thing: str, one: Inside, insides: Sequence[Inside]) -> str:
    return f"{thing}, {one.house.name}" if len(insides) > 1 else thing
