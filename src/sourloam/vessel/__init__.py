"""One vessel through time, layer by layer, and ensembles of vessels.

Give ``run`` a ``Vessel``, a ``Feeding``, a temperature series and parameters; it gives back a
``Course``; ``chance_of_failing`` counts its failures. ``newest_layer_finish`` and
``souring_series`` follow one closed layer. ``enteric_decline`` tells how enteric bacteria fall in
it, with its caution: fermenting is no kill step to rely on.
"""

from sourloam.vessel.course import Course, Settings
from sourloam.vessel.failing import Chance, Failing, chance_of_failing
from sourloam.vessel.feeding import Feeding, Pieces
from sourloam.vessel.ferment import Drained, Ferment, Ledger
from sourloam.vessel.hygiene import EntericDecline, enteric_decline
from sourloam.vessel.kinds import Vessel
from sourloam.vessel.prepare import EVIDENCE
from sourloam.vessel.single import Series, Souring, newest_layer_finish, souring_series
from sourloam.vessel.whole import run

__all__ = [
    "EVIDENCE",
    "Chance",
    "Course",
    "Drained",
    "EntericDecline",
    "Failing",
    "Feeding",
    "Ferment",
    "Ledger",
    "Pieces",
    "Series",
    "Settings",
    "Souring",
    "Vessel",
    "chance_of_failing",
    "enteric_decline",
    "newest_layer_finish",
    "run",
    "souring_series",
]
