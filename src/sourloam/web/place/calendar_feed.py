"""What is due at a place, as a calendar file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from django.utils import translation
from django.utils.translation import gettext as _

from sourloam.documents import Dated, calendar_file
from sourloam.ledger import due
from sourloam.ledger.work import Due
from sourloam.web import wording as w
from sourloam.web.cautions import for_work
from sourloam.web.house import Inside
from sourloam.web.place.slips import slips

_DAYS = 42
_REFRESH = dt.timedelta(hours=6)


def calendar_of(inside: Inside, language: str, address: Callable[[str], str]) -> bytes:
    """Each piece of work on its day; ``address`` makes a page's path whole."""
    house = inside.house
    dues = due(inside.state, inside.foreseen, inside.state.site(), house.today, _DAYS)
    with translation.override(language):
        events = [_event(one, inside, address) for one in dues]
    return calendar_file(events, house.name, house.today, family=house.id, refresh=_REFRESH)


def _event(one: Due, inside: Inside, address: Callable[[str], str]) -> Dated:
    """One piece of work; what is late stands on today and says since when."""
    house = inside.house
    (slip,) = slips([(one,)], house.id, house.units, inside.state)
    late = [_("Due since %(day)s.") % {"day": w.day(one.on)}] if one.on < house.today else []
    caution = for_work(one.what)
    careful = [f"{caution['title']}: {caution['text']}"] if caution else []
    text = "\n".join([slip.why, *late, *careful, address(slip.url)])
    return Dated(one.key, max(one.on, house.today), slip.what, text)
