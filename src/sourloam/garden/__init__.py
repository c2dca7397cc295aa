"""What a garden can take and when: crops, beds, an exact burial plan, feeding with the liquid.

``garden_plan`` goes from a ``GardenInput`` to a ``GardenPlan``, ``tub_plan`` from a place without
a bed; ``garden_chart`` draws both.
"""

from sourloam.garden.beds import Bed, Planting
from sourloam.garden.contract import GardenPlan
from sourloam.garden.crops import crop_names
from sourloam.garden.finished import Finished
from sourloam.garden.liquid import Liquid, usual_liquid
from sourloam.garden.place import Circumstances, Further, Hands
from sourloam.garden.plan import EVIDENCE, GardenInput, Rain, garden_evidence, garden_plan
from sourloam.garden.simulated import simulated_liquid, simulated_portion
from sourloam.garden.trench import Digging
from sourloam.garden.tub_plan import TubInput, tub_plan

__all__ = [
    "EVIDENCE",
    "Bed",
    "Circumstances",
    "Digging",
    "Finished",
    "Further",
    "GardenInput",
    "GardenPlan",
    "Hands",
    "Liquid",
    "Planting",
    "Rain",
    "TubInput",
    "crop_names",
    "garden_evidence",
    "garden_plan",
    "simulated_liquid",
    "simulated_portion",
    "tub_plan",
    "usual_liquid",
]
