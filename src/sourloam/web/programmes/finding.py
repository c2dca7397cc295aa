"""From a name or a question to a place of a programme, or to the part of its pages that answers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from sourloam.logbook.models import ProgrammePlace
from sourloam.site.ordering import in_order
from sourloam.web.finding.hits import Hit
from sourloam.web.finding.matching import matching, whole_words
from sourloam.web.programmes.house import Yard


@dataclass(frozen=True)
class Section:
    """A part of a programme's pages, with other words for it."""

    title: str | Promise
    words: str | Promise
    page: str
    more: str = ""


SECTIONS = (
    Section(
        gettext_lazy("Who wants somebody today"),
        gettext_lazy("morning help risk visit trouble who needs"),
        "programme",
    ),
    Section(
        gettext_lazy("Vessels that stand full"),
        gettext_lazy("full fetch collect waiting finished vessels"),
        "programme_places",
        "?show=full",
    ),
    Section(
        gettext_lazy("Full this week"),
        gettext_lazy("soon full next week forecast vessels"),
        "programme_places",
        "?show=soon",
    ),
    Section(
        gettext_lazy("Vessels that failed"),
        gettext_lazy("failed rotten smell spoiled bad vessels"),
        "programme_places",
        "?show=failed",
    ),
    Section(
        gettext_lazy("Who fell quiet"),
        gettext_lazy("quiet silent stopped idle gave up nobody word"),
        "programme_places",
        "?show=quiet",
    ),
    Section(
        gettext_lazy("Bran to make this week"),
        gettext_lazy("bran make mix stock hub inoculate"),
        "programme",
        "#bran-week",
    ),
    Section(
        gettext_lazy("Where bran runs short"),
        gettext_lazy("no bran out empty bring short"),
        "programme_places",
        "?show=bran",
    ),
    Section(
        gettext_lazy("Where beds are too small"),
        gettext_lazy("bed space soil ground bury trench short"),
        "programme_places",
        "?show=beds",
    ),
    Section(
        gettext_lazy("The round: fetch full vessels, leave clean ones"),
        gettext_lazy("round drive van stops order map sheet print fetch weigh clean route"),
        "programme_rounds",
    ),
    Section(
        gettext_lazy("Log: trainings, questions, hours, weighings"),
        gettext_lazy("training workshop course lesson question complaint hours log weighed visit"),
        "programme_log",
    ),
    Section(
        gettext_lazy("Figures for those who pay"),
        gettext_lazy("figures report funder kilograms money cost active climate saved numbers"),
        "programme_figures",
    ),
    Section(
        gettext_lazy("Bring places in, ask people in"),
        gettext_lazy("invite link join people helper reader coordinator role new place add"),
        "programme_settings",
    ),
    Section(
        gettext_lazy("Hub, van and hours of the round"),
        gettext_lazy("hub van room payload hours settings name"),
        "programme_settings",
    ),
)


def places(yards: Sequence[Yard], asked: str, named: bool = True) -> list[Hit]:
    """Places of that name, ``named`` with their programme; the order of its words does not matter,
    nor accents."""
    if not asked:
        return []
    of = {yard.id: yard for yard in yards}
    rows = ProgrammePlace.objects.filter(programme__in=of, left=None)
    known = rows.values_list("programme_id", "place_id", "place__name")
    found = matching(list(known), asked, lambda row: row[2], strict=True)
    found.sort(key=lambda row: (-whole_words(asked, row[2]), in_order(row[2])))
    return [
        Hit(
            name,
            reverse("web:programme_place", args=[programme, place]),
            of[programme].name if named else "",
        )
        for programme, place, name in found
    ]


def sections(yards: Iterable[Yard], asked: str, strict: bool = False) -> list[Hit]:
    """Parts of a programme's pages that hold the words asked for; all of them for no words."""
    found = matching(SECTIONS, asked, lambda one: f"{one.title} {one.words}", strict)
    return [
        Hit(str(one.title), reverse(f"web:{one.page}", args=[yard.id]) + one.more, yard.name)
        for yard in yards
        for one in found
    ]
