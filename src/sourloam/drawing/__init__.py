"""What a vessel, a bed and a season look like: small frozen pictures to SVG text.

Colour comes from classes only, so that a page's own style decides on light, dark or print;
``standalone=True`` puts the light palette inside for a PDF or a file. Every drawing carries a
title and a description for people who hear it.
"""

from sourloam.drawing.band import BandPicture, draw_band, pixels_a_day
from sourloam.drawing.bed import (
    BedPicture,
    DigPicture,
    PlantingPicture,
    TrenchPicture,
    draw_bed,
    draw_bed_swatch,
)
from sourloam.drawing.digging import TrenchCut, draw_trench_cut
from sourloam.drawing.full_days import FullDay, FullPicture, draw_full
from sourloam.drawing.marks import draw_mark_swatch
from sourloam.drawing.palette import SOURNESS, WIDE, sourness, stylesheet
from sourloam.drawing.round_map import MapStop, RoundPicture, draw_round
from sourloam.drawing.sack import SackPicture, draw_sack
from sourloam.drawing.season import SeasonPicture, Strip, draw_season, draw_strip_swatch
from sourloam.drawing.stage import StagePicture, draw_stage
from sourloam.drawing.vessel import LayerPicture, VesselPicture, draw_vessel, level_mark

__all__ = [
    "SOURNESS",
    "WIDE",
    "BandPicture",
    "BedPicture",
    "DigPicture",
    "FullDay",
    "FullPicture",
    "LayerPicture",
    "MapStop",
    "PlantingPicture",
    "RoundPicture",
    "SackPicture",
    "SeasonPicture",
    "StagePicture",
    "Strip",
    "TrenchCut",
    "TrenchPicture",
    "VesselPicture",
    "draw_band",
    "draw_bed",
    "draw_bed_swatch",
    "draw_full",
    "draw_mark_swatch",
    "draw_round",
    "draw_sack",
    "draw_season",
    "draw_stage",
    "draw_strip_swatch",
    "draw_trench_cut",
    "draw_vessel",
    "level_mark",
    "pixels_a_day",
    "sourness",
    "stylesheet",
]
