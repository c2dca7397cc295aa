"""The model held against experiments that others published, misses included.

``validate`` runs every trial in ``trials/`` and returns what was measured beside what the model
says; ``validation_table`` and ``validation_charts`` show it; ``sensitivity`` ranks what moves
the answers.
"""

from sourloam.validation.charts import validation_charts
from sourloam.validation.compare import Validation, validate
from sourloam.validation.failures import Failures, decline_table, failures, failures_chart
from sourloam.validation.readings import ArmResult, Reading
from sourloam.validation.scores import Score
from sourloam.validation.sensitivity import Sensitivity, sensitivity, sensitivity_chart
from sourloam.validation.soil_wait import soil_wait_table
from sourloam.validation.table import assumptions_table, validation_table, with_tables
from sourloam.validation.trial import Trial, trials

__all__ = [
    "ArmResult",
    "Failures",
    "Reading",
    "Score",
    "Sensitivity",
    "Trial",
    "Validation",
    "assumptions_table",
    "decline_table",
    "failures",
    "failures_chart",
    "sensitivity",
    "sensitivity_chart",
    "soil_wait_table",
    "trials",
    "validate",
    "validation_charts",
    "validation_table",
    "with_tables",
]
