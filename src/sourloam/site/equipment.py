"""The sections on vessels and bran."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from sourloam.site.quantities import Name, number, one_of, quantity, whole
from sourloam.site.sections import Section

Length = Annotated[float, quantity("length", "30 cm", "1 cm", "5 m")]
Height = Annotated[float, quantity("length", "5 cm", "0 cm", "2 m")]
Volume = Annotated[float, quantity("volume", "19 L", "0.5 L", "2000 L")]
Plate = Annotated[float, quantity("mass", "1 kg", "0 kg", "500 kg")]
Dose = Annotated[float, quantity("share", "20 g/kg", "0 g/kg", "300 g/kg")]


class VesselKind(Section):
    """[[vessel]]: a kind of vessel that you own or could get."""

    name: Name
    """What you call it; each kind has its own name."""
    volume_m3: Volume | None = Field(None, alias="volume")
    """Volume as sold."""
    top_diameter_m: Length | None = Field(None, alias="top_diameter")
    """Inside diameter at the brim; with base_diameter and height, instead of `volume`."""
    base_diameter_m: Length | None = Field(None, alias="base_diameter")
    """Inside diameter at the bottom."""
    height_m: Length | None = Field(None, alias="height")
    """Inside height."""
    grid_height_m: Height | None = Field(None, alias="grid_height")
    """Height of the drain grid above the bottom."""
    headroom_m: Height | None = Field(None, alias="headroom")
    """Space left free under the lid, plate included."""
    plate_kg: Plate | None = Field(None, alias="plate")
    """Mass of what lies on the scraps while the lid is shut; "0 kg" if nothing."""
    owned: Annotated[int, whole(0, 1000)] = 0
    """How many you have already."""
    most: Annotated[int, whole(1, 1000)] | None = None
    """The most that you have room for."""
    opened_per_day: Annotated[float, number(0.05, 20)] = 1.0
    """How often the lid is opened while it fills."""

    @model_validator(mode="after")
    def _size_is_known(self) -> Self:
        measures = (self.top_diameter_m, self.base_diameter_m, self.height_m)
        given = [m for m in measures if m is not None]
        if given and len(given) < len(measures):
            raise ValueError(
                "top_diameter, base_diameter and height go together; give all three or only volume"
            )
        if not given and self.volume_m3 is None:
            raise ValueError('volume is missing; e.g. volume = "19 L"')
        if given and self.volume_m3 is not None:
            raise ValueError("give either volume or the three measures, not both")
        if self.most is not None and self.most < self.owned:
            raise ValueError(f"most ({self.most}) is below owned ({self.owned})")
        return self


class Bran(Section):
    """[bran]: the inoculated bran."""

    carrier: Annotated[str, one_of("wheat_bran", "rice_bran")] = "wheat_bran"
    """What the bran is."""
    dose: Dose | None = None
    """Bran to fresh scraps, by mass; computed if left out."""
    strength: Annotated[float, number(3, 11)] | None = None
    """Live lactic bacteria, power of ten per gram; unknown if left out."""
    spoon: Annotated[
        str, one_of("us_tablespoon", "metric_tablespoon", "australian_tablespoon", "uk_tablespoon")
    ] = "metric_tablespoon"
    """The spoon with which you measure."""
