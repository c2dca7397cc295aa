"""What fermenting brings against landfill, incinerator and compost; popular statements tested.

``impact_of_sites`` reckons the first year of one place or of a programme of several,
``impact_of_log`` what a log says was really kept from the bin; ``Asked`` says how (members, seed,
weights of the gases, horizon) and ``Local`` holds a person's own facts and prices. Both give an
``Impact``: every figure a range, every range with its sources. ``saved_of_log`` keeps the possible
worlds of a place, so that ``saved_together`` can add many up.
"""

from sourloam.impact.answer import impact_of_log, impact_of_sites
from sourloam.impact.asked import HORIZONS, REPORTS, Asked
from sourloam.impact.contract import Impact
from sourloam.impact.from_log import LogError
from sourloam.impact.from_site import EVIDENCE
from sourloam.impact.money import Local
from sourloam.impact.saved import Saved, SavedTogether, saved_of_log, saved_together

__all__ = [
    "EVIDENCE",
    "HORIZONS",
    "REPORTS",
    "Asked",
    "Impact",
    "Local",
    "LogError",
    "Saved",
    "SavedTogether",
    "impact_of_log",
    "impact_of_sites",
    "saved_of_log",
    "saved_together",
]
