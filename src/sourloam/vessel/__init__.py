"""One vessel through time, layer by layer, and ensembles of vessels.

Give ``run`` a ``Vessel``, a ``Feeding``, a temperature series and parameters; it gives back a
``Course``. ``newest_layer_finish`` and ``souring_series`` follow one closed layer.
"""

from sourloam.vessel.course import Course, Settings
from sourloam.vessel.feeding import Feeding, Pieces
from sourloam.vessel.ferment import Drained, Ferment, Ledger
from sourloam.vessel.kinds import Vessel
from sourloam.vessel.prepare import EVIDENCE
from sourloam.vessel.single import Series, Souring, newest_layer_finish, souring_series
from sourloam.vessel.whole import run

__all__ = [
    "EVIDENCE",
    "Course",
    "Drained",
    "Feeding",
    "Ferment",
    "Ledger",
    "Pieces",
    "Series",
    "Settings",
    "Souring",
    "Vessel",
    "newest_layer_finish",
    "run",
    "souring_series",
]
