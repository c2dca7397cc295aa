"""Level, mass and liquid of a vessel without its chemistry: the part of the vessel model that
fill marks and drainings speak of, cheap enough to be tried many times.

Mass falls by drained liquid and by the small share that leaves as gas; layers pack under each
other by the same law as in ``vessel.packing``. Against the full model see ``docs/forecast.md``.
"""

from __future__ import annotations

import numpy as np

from sourloam.numerics.compiling import compiled, inlined

#: Columns that describe a member to the kernels.
MEMBER = (
    "loose_density", "density_most", "stiffness", "press_pa", "liquid_share", "left_share",
)  # fmt: skip
#: What is the same for all members.
VESSEL = ("usable_m3", "section_m2", "plate_pa", "gravity", "density_ceiling")
_LOOSE, _MOST, _STIFF, _PRESS, _LIQUID, _LEFT = range(len(MEMBER))
_USABLE, _SECTION, _PLATE, _GRAVITY, _CEILING = range(len(VESSEL))


@inlined()
def _stacked(added, kg, count, day, held, softening, member, vessel):
    """Volume (m3), mass (kg) and liquid let out so far (kg) on the morning of a day."""
    volume, above, liquid = 0.0, 0.0, 0.0
    most = max(member[_MOST] - member[_LOOSE], 1.0)
    pull, stiff = vessel[_GRAVITY] / vessel[_SECTION], member[_STIFF] * most
    for i in range(count - 1, -1, -1):
        if added[i] > day:
            continue
        first = held[added[i]]  # nothing after so many months that the share is lost in rounding
        gone = 1.0 - held[day] / first if first > 0.0 else 1.0
        out = kg[i] * member[_LIQUID] * gone
        mass = kg[i] * member[_LEFT] - out
        pressure = max(member[_PRESS], vessel[_PLATE] + pull * (above + 0.5 * mass))
        packed = member[_LOOSE] + pressure * most / (stiff + pressure)
        volume += mass / min(packed * softening[day - added[i]], vessel[_CEILING])
        above += mass
        liquid += out
    return volume, above, liquid


@compiled()
def on_days(added, kg, when, held, softening, members, vessel):
    """On some days: share filled and kg of contents, each (members, days asked).

    ``added`` (layers,) days not falling; ``kg`` (members, layers) with bran; ``held`` (members,
    days) share of the water yet to drain that a layer of day 0 still holds; ``softening``
    (members, days) gain of density by age.
    """
    count = kg.shape[0]
    out = np.zeros((2, count, when.size))
    for m in range(count):
        for q in range(when.size):
            volume, mass, _ = _stacked(
                added, kg[m], added.size, when[q], held[m], softening[m], members[m], vessel
            )
            out[0, m, q] = volume / vessel[_USABLE]
            out[1, m, q] = mass
    return out


@compiled()
def liquid_by(added, kg, when, held, members):
    """Liquid let out by the morning of some days, kg, (members, days asked)."""
    count = kg.shape[0]
    out = np.zeros((count, when.size))
    for m in range(count):
        for i in range(added.size):
            bound = kg[m, i] * members[m, _LIQUID]
            first = held[m, added[i]]
            for q in range(when.size):
                if when[q] > added[i]:
                    gone = 1.0 - held[m, when[q]] / first if first > 0.0 else 1.0
                    out[m, q] += bound * gone
    return out


@compiled()
def through_days(added, kg, from_day, days, held, softening, members, vessel):
    """Day by day; layers that would go over the mark from ``from_day`` on are refused.

    Gives the day on which it is full (inf if not), the day of the last layer, and (3, members,
    days): share filled, kg, liquid kg so far, on each morning with the day's layers laid.
    """
    count = kg.shape[0]
    full = np.full(count, np.inf)
    last = np.zeros(count)
    out = np.zeros((3, count, days))
    for m in range(count):
        inside = 0
        for day in range(days):
            while inside < added.size and added[inside] <= day and full[m] == np.inf:
                if kg[m, inside] > 0.0 and day >= from_day:
                    volume, mass, liquid = _stacked(
                        added, kg[m], inside + 1, day, held[m], softening[m], members[m], vessel
                    )
                    if volume > vessel[_USABLE]:
                        full[m] = float(day)
                        break
                if kg[m, inside] > 0.0:
                    last[m] = added[inside]
                inside += 1
            volume, mass, liquid = _stacked(
                added, kg[m], inside, day, held[m], softening[m], members[m], vessel
            )
            out[0, m, day] = volume / vessel[_USABLE]
            out[1, m, day] = mass
            out[2, m, day] = liquid
    return full, last, out
