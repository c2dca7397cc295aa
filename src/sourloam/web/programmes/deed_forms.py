"""Forms on the lines of a programme's log."""

from __future__ import annotations

import uuid
from typing import Any

from django.utils.translation import gettext as _

from sourloam.programme import DEEDS
from sourloam.web.icons import DEED_ICONS
from sourloam.web.programmes import form as programme_form
from sourloam.web.programmes.house import Yard

IN_LOG = {
    "training": ("people", "hours", "note"),
    "question": ("note", "answer"),
    "complaint": ("note",),
    "round": ("hours", "km", "note"),
    "hours": ("hours", "note"),
}
AT_PLACE = {
    "fetched": ("kg", "vessels", "clean", "contamination_kg", "note"),
    "visit": ("hours", "note"),
    "word": ("note",),
    "bran": ("kg", "note"),
    "question": ("note", "answer"),
    "complaint": ("note",),
}


def deed_forms(kinds: dict[str, tuple[str, ...]], yard: Yard) -> list[dict[str, Any]]:
    """A form for each kind, with its fields in the reader's units."""
    unit = programme_form.mass_unit(yard.units == "us")
    labels = {
        "kg": _("Contents, without the vessel"),
        "vessels": _("Full vessels taken"),
        "clean": _("Clean vessels left"),
        "contamination_kg": _("Of it, what does not belong"),
        "people": _("People"),
        "hours": _("Hours, of all together"),
        "km": _("Kilometres driven"),
        "note": _("Note"),
        "answer": _("What they were told"),
    }
    return [
        {
            "kind": kind,
            "label": _(DEEDS[kind].label),
            "icon": DEED_ICONS.get(kind, kind),
            "id": uuid.uuid4(),
            "fields": [
                {
                    "name": name,
                    "label": f"{_label(kind, name, labels)}, {unit}"
                    if name.endswith("kg")
                    else labels[name],
                    "long": name in ("note", "answer"),
                }
                for name in fields
            ],
        }
        for kind, fields in kinds.items()
    ]


def _label(kind: str, field: str, labels: dict[str, str]) -> str:
    return _("Bran that was left") if (kind, field) == ("bran", "kg") else labels[field]
