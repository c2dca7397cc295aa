"""Places of a programme by what is the matter there: the lists behind the morning's numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import chain

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy, ngettext

from sourloam.programme import Morning, PlaceFacts
from sourloam.site.ordering import in_order

Places = Iterable[PlaceFacts]


@dataclass(frozen=True)
class Filter:
    """One list: its word on the page, what it holds, which places in which order."""

    word: str | Promise
    said: str | Promise
    of: Callable[[Morning, Sequence[PlaceFacts]], Places]
    risk: str = ""  # told beside each place, where it is not the most pressing there


def _by_name(places: Places) -> list[PlaceFacts]:
    return sorted(places, key=lambda one: in_order(one.name))


def _failed(_morning: Morning, facts: Sequence[PlaceFacts]) -> Places:
    return _by_name(f for f in facts if any(v.stage == "failed" for v in f.vessels))


def _quiet(morning: Morning, _facts: Sequence[PlaceFacts]) -> Places:
    quiet = [h for h in morning.help if any(r.what == "stopped" for r in h.risks) and h.silence]
    latest = sorted(quiet, key=lambda h: h.silence.days if h.silence else 0)
    return (h.place for h in latest)


FILTERS: dict[str, Filter] = {
    "wants": Filter(
        gettext_lazy("Want somebody"),
        gettext_lazy("Somebody is wanted there; the most pressing first."),
        lambda morning, _facts: (h.place for h in morning.help if not h.long_quiet),
    ),
    "full": Filter(
        gettext_lazy("Full"),
        "",
        lambda _morning, facts: _by_name(f for f in facts if f.standing_full),
    ),
    "soon": Filter(
        gettext_lazy("Full this week"),
        gettext_lazy("A vessel there is likely full within a week; the likeliest first."),
        lambda morning, _facts: (row[0] for row in morning.soon),
    ),
    "failed": Filter(
        gettext_lazy("Failed"),
        gettext_lazy("A failed vessel still stands there."),
        _failed,
        "failed",
    ),
    "quiet": Filter(
        gettext_lazy("Quiet"),
        gettext_lazy("Somebody may have stopped there; the latest first."),
        _quiet,
        "stopped",
    ),
    "bran": Filter(
        gettext_lazy("Bran runs short"),
        gettext_lazy("Their own bran is used up, or will be within four weeks; the soonest first."),
        lambda morning, _facts: (row[0] for row in morning.bran.lacking),
        "bran",
    ),
    "beds": Filter(
        gettext_lazy("Short of bed"),
        gettext_lazy("What is ready soon will not fit their beds; the most first."),
        lambda morning, _facts: (row.place for row in morning.beds if not row.held),
    ),
}


def held(name: str, morning: Morning, facts: Sequence[PlaceFacts]) -> list[PlaceFacts]:
    """The places of a list, each once; all of them by name where there is no such list."""
    found = FILTERS.get(name)
    every = _by_name(facts) if found is None else found.of(morning, facts)
    return list({one.id: one for one in every}.values())


def said(name: str, places: Sequence[PlaceFacts]) -> str:
    """What these places have in common."""
    if name == "full":
        number = len(list(chain.from_iterable(one.standing_full for one in places)))
        return ngettext(
            "%(n)d vessel stands full there.", "%(n)d vessels stand full there.", number
        ) % {"n": number}
    return str(FILTERS[name].said) if name in FILTERS else ""
