"""The sections on the ground and on the rules that bind there."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from sourloam.site.quantities import Answer, one_of, quantity
from sourloam.site.sections import Section

TrenchLength = Annotated[float, quantity("length", "30 cm", "5 cm", "10 m")]
Spacing = Annotated[float, quantity("length", "60 cm", "5 cm", "10 m")]
Area = Annotated[float, quantity("area", "12 m²", "0.01 m²", "100000 m²")]
PerArea = Annotated[float, quantity("mass_per_area", "17 g/m2", "0 g/m2", "200 g/m2")]
Wait = Annotated[float, quantity("duration", "3 weeks", "0 days", "365 days")]
Distance = Annotated[float, quantity("length", "20 m", "0 m", "10000 m")]
Limit = Annotated[float, quantity("mass_rate", "50 kg/week", "0.001 kg/day", "5000 kg/day")]


class Ground(Section):
    """[ground]: where the ferment goes back."""

    none: bool = False
    """True if there is no ground: then it goes to a tub of soil."""
    tub: bool = False
    """True if a tub of old soil under a roof can take what the beds can't."""
    texture: Annotated[str, one_of("sand", "sandy_loam", "loam", "clay")] | None = None
    """How the soil feels."""
    bed_area_m2: Area | None = Field(None, alias="bed_area")
    """Area of beds that may take ferment; what no bed below describes counts as empty all year."""
    trench_width_m: TrenchLength | None = Field(None, alias="trench_width")
    """Width of a trench."""
    trench_depth_m: TrenchLength | None = Field(None, alias="trench_depth")
    """Depth of a trench."""
    trench_spacing_m: Spacing | None = Field(None, alias="trench_spacing")
    """From the middle of a trench to the middle of the next."""
    nitrogen_limit_kg_m2: PerArea | None = Field(None, alias="nitrogen_limit")
    """Most nitrogen a year where no `[[bed]]` says its own, if yours differs from the usual."""
    wait_days: Wait | None = Field(None, alias="wait")
    """Wait between burying and planting, if yours differs from the usual."""
    raw_crops: bool = False
    """True if crops that are eaten raw grow there."""

    @model_validator(mode="after")
    def _ground_or_none(self) -> Self:
        if not self.none:
            for key, value in (("texture", self.texture), ("bed_area", self.bed_area_m2)):
                if value is None:
                    raise ValueError(f"{key} is missing; or write none = true if there's no ground")
        elif self.bed_area_m2 is not None:
            raise ValueError("none = true and bed_area don't go together; leave one out")
        width, spacing = self.trench_width_m, self.trench_spacing_m
        if width is not None and spacing is not None and spacing < width:
            raise ValueError("trench_spacing is below trench_width; trenches would overlap")
        return self


class Rules(Section):
    """[rules]: what binds this practice where you are; "unknown" brings a reminder to ask."""

    same_property: Answer = "unknown"
    """Are scraps made, fermented and used on one property?"""
    animal_food: Answer = "unknown"
    """Does meat, fish, dairy or cooked food come in? What `mix` says counts either way."""
    farmed_animals_near: Answer = "unknown"
    """Are farmed animals (hens and pet pigs too) on or near the land?"""
    burial_allowed: Answer = "unknown"
    """Is burying ferment allowed where you are?"""
    notification_needed: Answer = "unknown"
    """Must somebody be told, or paid a fee, before you begin?"""
    produce_sold: Answer = "unknown"
    """Is what grows sold, or certified as organic?"""
    pest_rules: Answer = "unknown"
    """Are there rules about bears, rats or other animals that scraps draw?"""
    carried_by_others: Answer = "unknown"
    """Does anybody carry scraps or ferment over public roads?"""
    liquid_to_drain: Answer = "unknown"
    """Does drained liquid go to a drain?"""
    given_away: Answer = "unknown"
    """Does ferment or soil made with it go to other people?"""
    limit_kg_per_day: Limit | None = Field(None, alias="limit")
    """The most scraps that local rules allow."""
    distance_to_water_m: Distance | None = Field(None, alias="distance_to_water")
    """From the beds to the nearest stream, ditch, pond or drain."""
    distance_to_well_m: Distance | None = Field(None, alias="distance_to_well")
    """From the beds to the nearest well or spring."""
    distance_to_boundary_m: Distance | None = Field(None, alias="distance_to_boundary")
    """From the beds to the neighbours' land."""
