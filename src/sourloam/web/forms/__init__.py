"""Forms that log an entry: few fields, thumb-sized, filled from last time.

``making`` says which forms a page shows, ``correcting`` fills one with an entry; the others hold
the fields by what is logged: a ``layer``, ``vessel_work``, ``readings``, ``ground``, ``stores``.
"""

from sourloam.web.forms.asking import Asking
from sourloam.web.forms.correcting import correction
from sourloam.web.forms.making import bed_forms, store_form, vessel_forms
from sourloam.web.forms.units import units_of

__all__ = ["Asking", "bed_forms", "correction", "store_form", "units_of", "vessel_forms"]
