"""Remedies in the ground and for plants, by cause."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sourloam.ledger.sentences import gettext_noop as _
from sourloam.triage.remedy_text import RemedyText

_MIX = _(
    "Open it, mix it with at least %(mix_soil)d parts of loose, rather dry soil, cover it again "
    "with %(cover_m)s."
)
_SMELL = _("Whether it smells of earth when you dig a small hole.")

GROUND_REMEDIES: Mapping[str, RemedyText] = MappingProxyType(
    {
        "ground_well": RemedyText(
            (_("Nothing to do. Fill a hollow with soil; white threads are soil life at work."),),
            _SMELL,
            _("Go on as you do."),
        ),
        "thin_cover": RemedyText(
            (
                _("Heap soil on it: at least %(deep_m)s."),
                _("Lay a board or mesh over it for some weeks."),
            ),
            _("Smell, flies and digging."),
            _("Dig deeper: at least %(cover_m)s of soil on top, more where animals roam."),
        ),
        "thick_lump": RemedyText(
            (_MIX,), _SMELL, _("Spread it thinly and mix it with soil while burying.")
        ),
        "waterlogged": RemedyText(
            (
                _("Wait until the soil no longer smears, then loosen it."),
                _MIX,
            ),
            _("Whether water stands again after rain."),
            _("Choose a higher, looser spot, or finish it in a tub of dry soil."),
        ),
        "cold_or_dry_soil": RemedyText(
            (_("Water dry soil; in cold soil wait for spring before you plant."),),
            _SMELL,
            _("Keep ferment closed until the ground is workable, or use an indoor soil tub."),
        ),
        "planted_too_soon": RemedyText(
            (
                _("Water it through once, if the ground drains well; feed nothing."),
                _("Sow again after %(resow_weeks)d weeks, or move plants aside."),
            ),
            _("New leaves and white root tips."),
            _("Wait at least %(plant_wait)d days; sow cress in that soil first."),
        ),
        "nitrogen_tied_up": RemedyText(
            (_("Feed a little nitrogen, or wait two or three weeks. Do not add more ferment."),),
            _("Whether new leaves come green."),
            _("Less paper, sawdust and bran in the vessel; bury earlier before planting."),
        ),
        "salt": RemedyText(
            (_("Stop feeding with liquid; water the soil through, if it drains freely."),),
            _("Crust, and the rims of new leaves."),
            _("Thin more, feed less often; keep ferment of salty leftovers out of pots."),
        ),
        "ammonia_burst": RemedyText(
            (
                _("Stay out of the smell. Open the spot, mix in dry soil or old leaves, cover."),
                _("Do not lime."),
            ),
            _("Whether the sharp smell goes."),
            _("Less ferment on the same ground, above all with meat or fish."),
        ),
        "strong_liquid": RemedyText(
            (_("Rinse leaves with water; water the soil through, if it drains freely."),),
            _("Whether new leaves stay sound."),
            _("At least %(thin)d parts of water to one of liquid, on soil, never on leaves."),
        ),
        "failed_batch_buried": RemedyText(
            (
                _(
                    "Cover it deep: at least %(deep_m)s of soil; mark the place; grow no food "
                    "there yet."
                ),
                _("Leave it %(deep_weeks)d weeks, %(deep_winter_weeks)d over winter."),
            ),
            _("Smell and digging animals; whether cress comes up before you grow anything there."),
            _("Bury only what smells sour and reads %(sour_ph)g or below on a strip."),
        ),
        "animals_drawn": RemedyText(
            (
                _("Close the hole with at least %(deep_m)s of soil and a board or mesh."),
                _("If you see rats, stop burying there and ask your local authority."),
            ),
            _("Whether they come back."),
            _("Meat and fish only where rules allow, deep, in a tub that rodents cannot enter."),
        ),
        "something_else": RemedyText(
            (_("Look for drought, too much water, shade, slugs or disease, as on other beds."),),
            _("Both beds side by side."),
            _("Leave a small patch without ferment, to compare."),
        ),
    }
)
