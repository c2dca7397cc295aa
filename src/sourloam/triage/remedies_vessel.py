"""Remedies at the vessel, by cause."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sourloam.ledger.sentences import gettext_noop as _
from sourloam.triage.remedy_text import RemedyText

#: A second try to sour; not for every batch, see ``caution.forbids_second_try``.
SECOND_TRY = _(
    "One second try: mix in bran of known strength, about %(extra_bran)d %% of its weight, and "
    "sugar or molasses, about %(sugar)d %%; press it, close it, rest it %(second_rest)d days. If "
    "it is not sour then, let it go."
)
#: First step wherever liquid may be part of the trouble.
DRAIN = _("Drain it fully; keep that liquid off plants.")
_IF_SOUR = _("Whether it smells sour and a strip says %(sour_ph)g or below.")

VESSEL_REMEDIES: Mapping[str, RemedyText] = MappingProxyType(
    {
        "nothing_wrong": RemedyText(
            (_("Nothing to do. Close it again and let it work."),),
            _("Smell, and liquid at the tap, as usual."),
            _("Go on as you do."),
        ),
        "air": RemedyText(
            (
                _("Press the surface down, dust it with bran, lay plate or foil right on it."),
                _("Check lid, seal and tap all round; close them well."),
                _("Lift small mouldy patches out, outdoors, with gloves and mask."),
            ),
            _("Whether mould comes back, and whether it cools down again."),
            _("Open once a day at most: gather scraps in a caddy first."),
        ),
        "thin_bran": RemedyText(
            (DRAIN, SECOND_TRY),
            _IF_SOUR,
            _("Weigh or measure the bran for each layer and spread it to the edge."),
        ),
        "weak_bran": RemedyText(
            (
                _("Do not use that bran again; scatter it in the garden or on a compost heap."),
                SECOND_TRY,
            ),
            _IF_SOUR,
            _("Keep bran dry, cool and closed; test a spoonful in warm sugar water: it must sour."),
        ),
        "too_wet": RemedyText(
            (
                _("Drain it now, and every day until little comes."),
                _("Mix in dry bran, and shredded paper up to %(paper)d %% of its weight."),
            ),
            _("How much comes at the tap, and whether the smell stays sour."),
            _("Let scraps drip off before they go in; keep soup out."),
        ),
        "standing_liquid": RemedyText(
            (
                _("Drain it fully, tilt it a little; keep that liquid off plants."),
                SECOND_TRY,
            ),
            _("Whether liquid runs freely, and the smell of what comes."),
            _("Drain every two or three days, even if little comes."),
        ),
        "too_dry": RemedyText(
            (
                _(
                    "Sprinkle water, about %(water)d %% of its weight, or mix in juicy scraps; "
                    "press, close."
                ),
            ),
            _("Whether it softens and begins to smell sour."),
            _("Mix dry scraps (bread, coffee) with juicy ones, layer by layer."),
        ),
        "animal_food": RemedyText(
            (DRAIN, SECOND_TRY, _("Do not let children or people with weak defences near it.")),
            _IF_SOUR,
            _("Small amounts, chopped, in the middle of a sour vessel, with twice the bran."),
        ),
        "rotten_scraps": RemedyText(
            (DRAIN, _("Lift out what is plainly mouldy, with gloves and mask."), SECOND_TRY),
            _IF_SOUR,
            _("Put scraps in the same day, or keep them in the fridge or freezer until then."),
        ),
        "cold": RemedyText(
            (
                _(
                    "Bring it where it is %(warm_low_c)s to %(warm_high_c)s; thaw it slowly if it "
                    "is frozen. Frost is a pause, not a failure."
                ),
                _("Count the days of rest from then on."),
            ),
            _IF_SOUR,
            _("In winter rest vessels indoors, or wrapped beside something warm."),
        ),
        "hot": RemedyText(
            (
                _("Move it into shade or a cooler room."),
                _("Let gas out slowly, then drain it and close it."),
            ),
            _("Gas, liquid and smell."),
            _("Keep it out of sun and off the stove's side."),
        ),
        "coarse": RemedyText(
            (_("Press it hard, cut what sticks out, dust bran into gaps, lay the plate on."),),
            _("Whether mould stays away and the middle sours."),
            _("Cut pieces smaller than an egg and press each layer."),
        ),
        "slow_filling": RemedyText(
            (_("Stop adding; dust the top with bran, press, close, let it rest."),),
            _IF_SOUR,
            _("Gather scraps in the freezer and fill in batches, or take a smaller vessel."),
        ),
        "soil_inside": RemedyText(
            (
                DRAIN,
                _("If it smells rotten do not try to save it: let it go."),
                _("If it does not, close it and let it rest."),
            ),
            _IF_SOUR,
            _("Keep soil, manure and garden waste out; shake roots clean."),
        ),
        "sugary": RemedyText(
            (
                _("Let gas out slowly, outdoors, face turned away; drain; close it again."),
                _("Leave about %(head_room)d %% of the room under the lid free."),
            ),
            _("Gas every day until it calms down."),
            _("Mix much fruit or dough with other scraps, over several layers."),
        ),
        "alkaline": RemedyText(
            (
                _("It can hardly sour with that in it. Lift out what can be lifted."),
                SECOND_TRY,
            ),
            _IF_SOUR,
            _("Keep ash, lime and soda out; egg shells only few and crushed."),
        ),
        "low_sugar": RemedyText(
            (SECOND_TRY,),
            _IF_SOUR,
            _("Mix coffee, stalks and leaves with fruit, bread, rice or a little sugar."),
        ),
        "blocked_tap": RemedyText(
            (
                _(
                    "Rinse and clear the tap from outside with a rod. Never blow or suck with the "
                    "mouth."
                ),
                _("Drain slowly into a bowl."),
            ),
            _("Whether liquid runs freely."),
            _("Lay a cloth or a few large leaves on the grid before the first layer."),
        ),
        "broken_vessel": RemedyText(
            (
                _("Put a tray under it: the liquid is acid and slippery."),
                _("Tighten or renew seal, washer or tap; move a cracked vessel's content."),
            ),
            _("Whether it stays dry below, and no mould comes."),
            _("Test the empty vessel with warm water and soapsuds before each filling."),
        ),
        "flies_got_in": RemedyText(
            (
                _(
                    "Close it tight, outdoors, in the shade, for %(fly_rest)d days or more; do not "
                    "open it."
                ),
                _("In a school or a public place: bag it twice and hand it to collection."),
            ),
            _("Whether flies are still there after that."),
            _("Cover scraps in the kitchen, or freeze them; close every gap."),
        ),
        "killing_agent": RemedyText(
            (
                _(
                    "If it was cleaner or medicine, let it go; nothing of it goes into soil. After "
                    "much salt or vinegar it may be tried once more."
                ),
                SECOND_TRY,
            ),
            _IF_SOUR,
            _("Rinse the washed vessel with clear water and let it dry before filling."),
        ),
        "too_early": RemedyText(
            (
                _(
                    "Close it and let it rest at %(warm_low_c)s to %(warm_high_c)s; look again "
                    "later."
                ),
            ),
            _IF_SOUR,
            _("Write the date of the last layer on the lid."),
        ),
    }
)
