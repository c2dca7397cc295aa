"""What a garden can take and when: crops, beds, an exact burial plan, feeding with the liquid.

``garden_plan`` goes from a ``GardenInput`` to a ``GardenPlan``; ``garden_chart`` draws it.
"""

from sourloam.garden.beds import Bed, Planting
from sourloam.garden.contract import GardenPlan
from sourloam.garden.crops import crop_names
from sourloam.garden.finished import Finished
from sourloam.garden.liquid import Liquid, usual_liquid
from sourloam.garden.place import Circumstances, Hands
from sourloam.garden.plan import EVIDENCE, GardenInput, Rain, garden_evidence, garden_plan
from sourloam.garden.simulated import simulated_liquid, simulated_portion
from sourloam.garden.trench import Digging

__all__ = [
    "EVIDENCE",
    "Bed",
    "Circumstances",
    "Digging",
    "Finished",
    "GardenInput",
    "GardenPlan",
    "Hands",
    "Liquid",
    "Planting",
    "Rain",
    "crop_names",
    "garden_evidence",
    "garden_plan",
    "simulated_liquid",
    "simulated_portion",
    "usual_liquid",
]
