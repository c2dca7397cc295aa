"""What a buried ferment does in the ground, and when the ground is fit for plants again."""

from sourloam.soil.course import REASONS, BuriedCourse, bury
from sourloam.soil.ferment import Buried, Portion
from sourloam.soil.ground import TEXTURES, Soil, Water
from sourloam.soil.trench import Burial, Tub

__all__ = [
    "REASONS",
    "TEXTURES",
    "Burial",
    "Buried",
    "BuriedCourse",
    "Portion",
    "Soil",
    "Tub",
    "Water",
    "bury",
]
