"""From one site to its whole-year plan: how many vessels, when to fill, rest, drain, bury."""

from sourloam.planning.contract import Plan

__all__ = ["Plan"]
