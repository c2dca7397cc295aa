"""What was done to a vessel: asked like signs, and answered by the log where it knows."""

from __future__ import annotations

from sourloam.ledger.sentences import gettext_noop as _
from sourloam.triage.sign import Sign


def _told(sign_id: str, label: str, question: str, drawn: str) -> Sign:
    return Sign(sign_id, label, question, "history", "told", drawn)


DONE_SIGNS: tuple[Sign, ...] = (
    _told(
        "big_pieces",
        _("large pieces, hardly pressed"),
        _("Did large, whole pieces go in, or was little pressed?"),
        "a whole cob and half a cabbage with gaps between",
    ),
    _told(
        "bran_thin",
        _("less bran than usual, or badly spread"),
        _("Was there less bran than usual on some layers, or was it badly spread?"),
        "a layer with bran on one side only",
    ),
    _told(
        "much_animal",
        _("much meat, fish, cheese or fat"),
        _("Did much meat, fish, cheese or fat go in, or go in early?"),
        "a fish and a bone in a layer",
    ),
    _told(
        "old_scraps",
        _("scraps were rotten, mouldy or stood warm before"),
        _("Were scraps already rotten or mouldy, or did they stand warm for days before?"),
        "a caddy with wavy lines and a calendar",
    ),
    _told(
        "wet_scraps",
        _("very wet scraps: soup, melon, undrained leftovers"),
        _("Did very wet scraps go in: soup, melon, leftovers not drained?"),
        "a bowl of soup tipped into a vessel",
    ),
    _told(
        "rarely_drained",
        _("not drained for a week or more"),
        _("Was it not drained for a week or more?"),
        "a closed tap, a calendar with a week crossed out",
    ),
    _told(
        "opened_often",
        _("opened several times a day"),
        _("Was it opened several times a day, or left open?"),
        "a lid going up and down",
    ),
    _told(
        "long_filled",
        _("filled over more than six weeks"),
        _("Did filling take more than six weeks?"),
        "a half-full vessel, two months crossed out",
    ),
    _told(
        "stands_cold",
        _("stands in the cold"),
        _("Does it stand colder than a cool cellar?"),
        "a vessel beside a snowflake",
    ),
    _told(
        "stands_hot",
        _("stands in sun or great heat"),
        _("Does it stand in the sun or in great heat?"),
        "a vessel under a sun",
    ),
    _told(
        "short_rest",
        _("rested less than ten days"),
        _("Has it rested less than ten days since the last layer?"),
        "a closed vessel, a few days crossed out",
    ),
    _told(
        "sweet_scraps",
        _("very sweet or doughy scraps: much fruit, juice, dough, cake"),
        _("Did very sweet or doughy scraps go in: much fruit, juice, dough or cake?"),
        "grapes and a cake in a layer",
    ),
    _told(
        "poor_scraps",
        _("mostly coffee grounds, stalks, leaves or shells"),
        _("Was it mostly coffee grounds, stalks, leaves or shells, with hardly anything sweet?"),
        "coffee grounds and egg shells in a layer",
    ),
    _told(
        "soil_went_in",
        _("soil, manure or garden waste went in"),
        _("Did soil, manure or garden waste get in?"),
        "a root with soil falling into a vessel",
    ),
    _told(
        "lime_went_in",
        _("ash, lime, soda or many shells went in"),
        _("Did ash, lime, soda or many crushed shells get in?"),
        "a shovel of ash above a vessel",
    ),
    _told(
        "cleaner_went_in",
        _("cleaner, much salt, vinegar or medicine went in"),
        _("Did cleaner, disinfectant, much salt, vinegar or medicine get in?"),
        "a spray bottle above a vessel",
    ),
)
