"""How random members are summed up; small numerical tools that every room may use.

``compiling`` makes kernels; it is loaded by those who need it.
"""

from sourloam.numerics.range import Range
from sourloam.numerics.spread import Spread, middle, spread

__all__ = ["Range", "Spread", "middle", "spread"]
