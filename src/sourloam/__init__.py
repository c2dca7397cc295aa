"""Plan, run and prove the lactic fermentation of kitchen scraps, from kitchen to living soil."""

__version__ = "0.1.0"
