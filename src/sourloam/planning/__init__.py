"""From one site to its whole-year plan: how many vessels, when to fill, rest, drain, bury.

``make_plan`` gives a ``Plan``, whose fields are the ``--json`` contract; ``schema_text`` is its
JSON Schema, shipped as ``plan.schema.json``. ``rotate`` is the taking of turns alone.
"""

from sourloam.planning.contract import Plan, Range
from sourloam.planning.plan import make_plan
from sourloam.planning.rotation import Rhythm, Turned, Turns, rotate
from sourloam.planning.schema import schema_text

__all__ = ["Plan", "Range", "Rhythm", "Turned", "Turns", "make_plan", "rotate", "schema_text"]
