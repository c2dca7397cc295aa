"""Growth response to temperature and pH by the cardinal models of Rosso et al. (1993, 1995)."""

from __future__ import annotations

from sourloam.numerics.compiling import compiled, inlined


@compiled()
def temperature_factor(t, t_min, t_opt, t_max):
    """Share of the optimum growth rate at temperature ``t``, 0 outside ``t_min``-``t_max``."""
    if t <= t_min or t >= t_max:
        return 0.0
    top = (t - t_max) * (t - t_min) ** 2
    inner = (t_opt - t_min) * (t - t_opt) - (t_opt - t_max) * (t_opt + t_min - 2 * t)
    return top / ((t_opt - t_min) * inner)


@inlined()
def ph_factor(ph, ph_min, ph_opt, ph_max):
    """Share of the optimum growth rate at a pH, 0 outside ``ph_min``-``ph_max``."""
    if ph <= ph_min or ph >= ph_max:
        return 0.0
    top = (ph - ph_min) * (ph - ph_max)
    return top / (top - (ph - ph_opt) ** 2)
