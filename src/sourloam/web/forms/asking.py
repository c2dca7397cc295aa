"""What a form is made for: which thing, for whom, and what was written last."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from sourloam.ledger import bodies as b
from sourloam.ledger.state import BedState, PlaceState, Record, VesselState
from sourloam.web.fields import Choices, Field, UnitsOfForms


@dataclass(frozen=True)
class Asking:
    """One vessel, bed or place as its forms need it; ``at`` ends the ids where one page asks
    about several things. ``spot`` holds what is known of a burial that is due."""

    place: PlaceState
    units: UnitsOfForms
    vessel: VesselState | None = None
    bed: BedState | None = None
    last: Record[b.Fed] | None = None
    beds: Choices = ()
    vessels: Choices = ()
    crops: Choices = ()
    signs: Choices = ()
    at: str = field(default="")
    spot: Mapping[str, Any] = field(default_factory=dict)

    def id(self, name: str) -> str:
        """Id of a field in its page."""
        return f"f-{name}-{self.at}" if self.at else f"f-{name}"

    @property
    def us(self) -> bool:
        """Whether the reader counts in US units."""
        return self.units.system == "us"

    def note(self, name: str, word: str = "", required: bool = False) -> Field:
        """Room for free words."""
        return Field(
            "note", "note", word or _("Anything else"), id=self.id(name), required=required
        )

    def mass(self, name: str, word: str, path: str = "mass_kg", required: bool = False) -> Field:
        """A mass in the reader's unit; ``word`` has a place for it."""
        said = word % {"unit": self.units.words["mass"]}
        low = "0.001" if required else "0"
        return Field(
            "number",
            self.units.name(path, "mass"),
            said,
            id=self.id(name),
            min=low,
            max="1100",
            required=required,
        )
