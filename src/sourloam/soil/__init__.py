"""What a buried ferment does in the ground, and when the ground is fit for plants again.

Give ``bury`` a ``Burial`` (or a ``Tub``), a ``Soil``, the soil's temperatures and parameters; it
gives back a ``BuriedCourse``. ``waiting_table`` and ``waiting_sensitivity`` show how far the
wait moves with warmth, dose and the weakest numbers.
"""

from sourloam.soil.course import EVIDENCE, BuriedCourse, bury, bury_by_salt
from sourloam.soil.ferment import Buried, Portion
from sourloam.soil.ground import TEXTURES, Soil, Water, water_balance
from sourloam.soil.readiness import REASONS, Tolerance
from sourloam.soil.trench import Burial, Tub
from sourloam.soil.waiting import usual_burial, waiting_sensitivity, waiting_table

__all__ = [
    "EVIDENCE",
    "REASONS",
    "TEXTURES",
    "Burial",
    "Buried",
    "BuriedCourse",
    "Portion",
    "Soil",
    "Tolerance",
    "Tub",
    "Water",
    "bury",
    "bury_by_salt",
    "usual_burial",
    "waiting_sensitivity",
    "waiting_table",
    "water_balance",
]
