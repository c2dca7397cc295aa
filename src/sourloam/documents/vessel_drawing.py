"""The drawing on a card: this kind of vessel cut open while it fills."""

from __future__ import annotations

from sourloam.documents.speech import Speech
from sourloam.drawing import SOURNESS, LayerPicture, VesselPicture, draw_vessel
from sourloam.vessel.kinds import Vessel

_LEVEL, _LIQUID = 0.68, 0.45  # what a picture of filling shows; no measurement


def cut_open(vessel: Vessel, name: str, speech: Speech) -> tuple[str, str]:
    """SVG text and the sentence that stands for it."""
    says = speech.say(
        "Cut open: layers, oldest and sourest below; plate on top; liquid under the grid; tap."
    )
    picture = VesselPicture(
        name=name,
        state="filling",
        top_diameter_m=vessel.top_diameter_m,
        base_diameter_m=vessel.base_diameter_m,
        height_m=vessel.height_m,
        grid_height_m=vessel.sump_height_m,
        headroom_m=vessel.headroom_m,
        layers=_layers(speech),
        level=_LEVEL,
        liquid=_LIQUID,
        title=name,
        desc=says,
        words={"full": speech.say("full"), "half": speech.say("half")},
    )
    return draw_vessel(picture, standalone=True), says


def _layers(speech: Speech) -> tuple[LayerPicture, ...]:
    """A layer of each step of sourness, the sourest below."""
    starts = [start for _, start in reversed(SOURNESS)]
    labels = [speech.say("oldest layer"), *[""] * (len(starts) - 2), speech.say("newest layer")]
    return tuple(LayerPicture(1.0, ph, label) for ph, label in zip(starts, labels, strict=True))
