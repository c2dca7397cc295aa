"""A small garden plan and a batch of bran, made by hand so that tests know every figure."""

import datetime as dt

from sourloam.garden.contract import (
    BedAnswer,
    BurialAnswer,
    Burials,
    Feeding,
    FeedingMonth,
    GardenCaution,
    GardenPlan,
    GardenProvenance,
    LeftOver,
    ThinningLine,
    TrenchPiece,
)
from sourloam.numerics import Range

DAY = dt.date(2026, 3, 2)


def spread(median, unit, low=None, high=None):
    return Range(
        median=median,
        low=0.5 * median if low is None else low,
        high=2 * median if high is None else high,
        unit=unit,
    )


def bed(name, length=5.0, width=1.2):
    return BedAnswer(
        name=name,
        length=length,
        width=width,
        texture="loam",
        plantings=(),
        nitrogen_limit=100,
        nitrogen_buried=spread(40, "g"),
        phosphorus_limit=20,
        phosphorus_carried=20,
        phosphorus_buried=spread(8, "g"),
        trench_room=10,
        trench_used=2.2,
    )


def burial(vessel="19 L pail no. 1 (11 Feb)", where="Wall bed", **more):
    return BurialAnswer(
        **{
            "vessel": vessel,
            "bed": where,
            "week": dt.date(2027, 2, 15),
            "share": 0.8,
            "mass": spread(10.2, "kg"),
            "length": 2.2,
            "depth": 0.3,
            "width": 0.3,
            "cover": 0.2,
            "load": 4.6,
            "mound": spread(4.2, "cm"),
            "pieces": (
                TrenchPiece(along=0.3, start=0, end=1.2),
                TrenchPiece(along=0.9, start=0, end=1.0),
            ),
            "wait": spread(16, "days"),
            "plant_from": dt.date(2027, 3, 18),
            "next_crop": "potato",
            "among_rows": False,
            "held": 4,
            "reason": "",
            "elsewhere": (),
            **more,
        }
    )


def feeding():
    months = [
        FeedingMonth(bed="Wall bed", crop="potato", month=dt.date(2026, 4, 1), weeks=1,
                     liquid=0.045, water=13.5),
        FeedingMonth(bed="Salad bed", crop="lettuce", month=dt.date(2026, 5, 1), weeks=2,
                     liquid=0.0043, water=4.3, stop=dt.date(2026, 5, 11)),
        FeedingMonth(bed="Wall bed", crop="potato", month=dt.date(2026, 5, 1), weeks=4,
                     liquid=0.037, water=11.1),
    ]  # fmt: skip
    return Feeding(
        answer="",
        strength=(),
        temperature=21,
        thinning=(
            ThinningLine(crop="potato", seedlings=1000, seedlings_middle=358, established=300,
                         established_middle=99, limited_by="acid"),
            ThinningLine(crop="lettuce", seedlings=None, seedlings_middle=None, established=500,
                         established_middle=106, limited_by="salt"),
        ),
        usual="",
        weeks=(),
        months=tuple(months),
        beds=(),
        supply=spread(2.3, "L"),
        surplus=spread(0.5, "L"),
    )  # fmt: skip


BURIAL = burial()


def garden(burials=(BURIAL,), fed=None, **more):
    return GardenPlan(
        **{
            "site": "Flat at 4 Alder Row",
            "start": DAY,
            "until": DAY + dt.timedelta(days=364),
            "beds": (bed("Wall bed"), bed("Salad bed", 2.0)),
            "burials": Burials(
                answer="",
                possible=False,
                plan=tuple(burials),
                stored=("19 L pail no. 2 (24 May)",),
                left_over=(LeftOver(vessel="19 L pail no. 1 (11 Feb)", mass=2.5),),
                ways_out=(),
                refusals=(),
            ),
            "feeding": fed,
            "ground": (),
            "cautions": tuple(
                GardenCaution(id=name, text="", source="", standing="our judgement")
                for name in ("hands", "local")
            ),
            "provenance": GardenProvenance(version="", seed=1, members=60, evidence=(), notes=()),
            **more,
        }
    )
