"""A programme's morning: what its places are likely to need, kept until something changes."""

from __future__ import annotations

from collections import OrderedDict

from django.db.models import Count, Max, Sum

from sourloam.logbook.models import PlaceSummary, Programme, ProgrammeEntry, ProgrammePlace
from sourloam.logbook.programmes.facts import facts_in as all_facts
from sourloam.logbook.programmes.making import today
from sourloam.programme import Morning, PlaceFacts, drawn, morning

_mornings: OrderedDict[str, tuple[tuple[object, ...], Morning, list[PlaceFacts]]] = OrderedDict()
_MORNINGS = 20  # programmes whose morning this process keeps


def facts_in(programme: Programme) -> list[PlaceFacts]:
    """Facts of every place of a programme, with what its rounds changed there."""
    return all_facts(programme, today(programme))


def morning_of(programme: Programme) -> tuple[Morning, list[PlaceFacts]]:
    """A programme's morning and the facts behind it: reckoned anew only where a place's facts, the
    places, the programme's log, the stock at the hub or the day are others than last time."""
    there = ProgrammePlace.objects.filter(programme=programme, left=None)
    rows = PlaceSummary.objects.filter(place_id__in=there.values("place_id"))
    newest = rows.aggregate(many=Count("pk"), last=Max("made_at"), seqs=Sum("seq"))
    coming = there.aggregate(places=Count("pk"), entries=Sum("place__last_seq"))
    own = ProgrammeEntry.objects.filter(programme=programme)
    lines = own.aggregate(lines=Count("pk"), written=Max("written_at"))
    stamp = (
        *(*newest.values(), *coming.values(), *lines.values()),
        *(programme.bran_kg, today(programme)),
    )
    kept = _mornings.get(programme.pk)
    if kept is None or kept[0] != stamp:
        facts = facts_in(programme)
        found = morning(facts, programme.bran_kg, today(programme), drawn())
        kept = _mornings[programme.pk] = (stamp, found, facts)
        while len(_mornings) > _MORNINGS:
            _mornings.popitem(last=False)
    return kept[1], kept[2]
