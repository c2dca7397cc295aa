"""What people ask, with other words for it, and the page that answers."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

RESCUE = "rescue"


@dataclass(frozen=True)
class Question:
    """``of`` says what the chips beside it are, ``everywhere`` that it needs no place, ``typed``
    that it is only listed for words that it holds: another question leads to its page too."""

    title: str | Promise
    words: str | Promise
    page: str
    anchor: str = ""
    of: str = ""
    everywhere: bool = False
    typed: bool = False


#: The words are those that somebody might type; a translation holds its own.
QUESTIONS = (
    Question(
        gettext_lazy("Write down a layer"),
        gettext_lazy("feed scraps log add today bowl weigh peelings"),
        "shelf",
        of="feed",
    ),
    Question(
        gettext_lazy("Something smells or looks odd"),
        gettext_lazy("smell stink rotten mould mold fungus flies maggots normal help wrong rescue"),
        "shelf",
        of=RESCUE,
    ),
    Question(
        gettext_lazy("We go away: a holiday"),
        gettext_lazy("holiday vacation away travel trip leave absence closed weeks off"),
        "away",
    ),
    Question(
        gettext_lazy("Drain the liquid and use it"),
        gettext_lazy("liquid juice tap drain leachate tea dilute dilution water plants feed"),
        "shelf",
        of="drain",
    ),
    Question(
        gettext_lazy("Where do I bury what is ready?"),
        gettext_lazy("bury burial dig trench hole ground soil bed empty full ready done ferment"),
        "beds",
    ),
    Question(
        gettext_lazy("Bury it: how deep, under how much soil?"),
        gettext_lazy("bury deep depth cover soil centimetres inches thick trench"),
        "beds",
        of="bury",
        typed=True,
    ),
    Question(
        gettext_lazy("Winter: is the ground frozen, or closed?"),
        gettext_lazy("winter frost frozen snow ice cold ground closed thaw"),
        "beds",
        typed=True,
    ),
    Question(
        gettext_lazy("A vessel is full: close it to rest"),
        gettext_lazy("full close closed aside rest lid top heap"),
        "shelf",
        of="close",
        typed=True,
    ),
    Question(
        gettext_lazy("When is a vessel ready?"),
        gettext_lazy("ready rest resting done finished long when sour ferment"),
        "shelf",
        of="rest",
        typed=True,
    ),
    Question(
        gettext_lazy("Write down what a pH strip says"),
        gettext_lazy("ph strip paper acid sour measure test meter"),
        "shelf",
        of="ph",
        typed=True,
    ),
    Question(
        gettext_lazy("When may I sow or plant?"),
        gettext_lazy(
            "sow sowing sown plant planting seed seedlings crop vegetables garden harvest wait"
        ),
        "sowing",
    ),
    Question(
        gettext_lazy("How much bran is left?"),
        gettext_lazy("bran left stock enough store order buy"),
        "stores",
        typed=True,
    ),
    Question(
        gettext_lazy("How strong is our bran?"),
        gettext_lazy("bran strength lot bag batch old age weak test dose stock buy order"),
        "lots",
        of="bran",
    ),
    Question(
        gettext_lazy("Make the next batch of bran"),
        gettext_lazy("bran make mix recipe batch inoculate dry molasses"),
        "lots",
        anchor="next-batch",
    ),
    Question(
        gettext_lazy("A report for the council or a funder"),
        gettext_lazy(
            "report council funder authority climate carbon impact achieved figures money"
        ),
        "achieved",
    ),
    Question(
        gettext_lazy("How many vessels do we need?"),
        gettext_lazy("plan set-up setup size how many buckets bins number capacity"),
        "setup",
    ),
    Question(
        gettext_lazy("Print labels for the vessels"),
        gettext_lazy("print label sticker code qr scan"),
        "labels",
    ),
    Question(
        gettext_lazy("Print the week's work for a helper"),
        gettext_lazy("print week work sheet helper neighbour sitter stand-in paper"),
        "week_sheet",
    ),
    Question(
        gettext_lazy("Print the season's report"),
        gettext_lazy("print season report year summary"),
        "season_report",
    ),
    Question(
        gettext_lazy("Ask somebody in, or take a role away"),
        gettext_lazy("people invite helper role share family neighbour link keeper gardener"),
        "people",
    ),
    Question(
        gettext_lazy("Weigh a bowl once, for all layers"),
        gettext_lazy("measure bowl weigh scales kilograms pounds"),
        "stores",
    ),
    Question(
        gettext_lazy("What is due, in my own calendar"),
        gettext_lazy("calendar reminder due appointments"),
        "calendar",
    ),
    Question(
        gettext_lazy("Take everything out, or bring it in"),
        gettext_lazy(
            "export import copy backup back-up safe spreadsheet csv json download file save"
        ),
        "exchange",
    ),
    Question(
        gettext_lazy("Programs and sensors"),
        gettext_lazy("api sensor thermometer scales program token"),
        "tokens",
    ),
    Question(
        gettext_lazy("Add a place: a home, a school, a café"),
        gettext_lazy("add new place home school café cafe restaurant garden kitchen class"),
        "new_place",
        of="kinds",
        everywhere=True,
    ),
    Question(
        gettext_lazy("Move to a new phone"),
        gettext_lazy("phone device tablet computer move sign in password lost app"),
        "settings",
        anchor="new-phone",
        everywhere=True,
    ),
    Question(
        gettext_lazy("Language and units"),
        gettext_lazy("language units spanish english pounds gallons kilograms fahrenheit settings"),
        "settings",
        everywhere=True,
    ),
    Question(
        gettext_lazy("What if…? Play, and teach a class"),
        gettext_lazy("play teach class lesson school pupils children try experiment warmth cold"),
        "try_it",
        everywhere=True,
    ),
    Question(
        gettext_lazy("Many places together: who needs help, what to fetch"),
        gettext_lazy("programme program many places round van hub collect exchange town council"),
        "programmes",
        everywhere=True,
    ),
)
