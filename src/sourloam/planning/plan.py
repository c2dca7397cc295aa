"""One site to one plan."""

from __future__ import annotations

import sourloam
from sourloam.numerics.progress import Progress, untold
from sourloam.planning import waiting
from sourloam.planning.case import evidence_ids, foresee
from sourloam.planning.contract import Plan, Practice, Provenance
from sourloam.planning.moving import move
from sourloam.planning.parts.bran import bran_part
from sourloam.planning.parts.calendar import calendar_part
from sourloam.planning.parts.cautions import cautions_part
from sourloam.planning.parts.drivers import drivers_part
from sourloam.planning.parts.filling import fill_part, finish_part
from sourloam.planning.parts.ground import ground_part
from sourloam.planning.parts.labour import labour_part
from sourloam.planning.parts.liquid import liquid_part
from sourloam.planning.parts.practice import practice_part
from sourloam.planning.parts.scraps import scraps_part, site_part
from sourloam.planning.parts.vessels import vessels_part
from sourloam.planning.parts.year import year_of
from sourloam.planning.work import Work, carry_out
from sourloam.site import Site

_LEAST_MEMBERS = 10  # method: fewer give no 10 and 90 % points
_AFTER_WORK, _AFTER_DRIVERS = 0.85, 0.95  # method: shares of the whole computing time
_TOPICS = ("planning", "practice", "bran", "ground")


def make_plan(
    site: Site,
    years: int = 1,
    members: int = 500,  # method: enough to tell one year in a hundred from one in twenty
    seed: int = 1,
    progress: Progress | None = None,
) -> Plan:
    """The whole plan of a site; the same site, members and seed give the same plan.

    ``progress(stage, share)`` is called as the work goes on. ValueError for fewer than 10
    members or less than 1 year; ClimateError where the weather given is too short.
    """
    if members < _LEAST_MEMBERS or years < 1:
        raise ValueError(
            f"members {members}, years {years}: at least {_LEAST_MEMBERS} members and 1 year"
        )
    tell = progress or untold
    tell("looking ahead", 0.0)
    work = carry_out(foresee(site, years, members, seed), tell)
    tell("what moves the answer", _AFTER_WORK)
    drivers = drivers_part(work, move(work))
    tell("writing the calendar", _AFTER_DRIVERS)
    year = year_of(work)
    bran = bran_part(work)
    plan = Plan(
        site=site_part(work),
        scraps=scraps_part(work),
        fill=tuple(fill_part(work, kind) for kind in work.case.kinds),
        finish=finish_part(work),
        vessels=vessels_part(work, year.spans, year.blocked),
        bran=bran,
        liquid=liquid_part(work),
        ground=ground_part(work, year),
        labour=labour_part(work, year),
        calendar=calendar_part(work, year, bran.by_month),
        drivers=drivers,
        practice=(),
        cautions=cautions_part(work),
        provenance=_provenance(work),
    )
    rules: tuple[Practice, ...] = practice_part(work, plan)
    tell("done", 1.0)
    return plan.model_copy(update={"practice": rules})


def _provenance(work: Work) -> Provenance:
    from sourloam.evidence import book

    case = work.case
    fixed = [key for topic in _TOPICS for key in book().ids(topic)]
    return Provenance(
        version=sourloam.__version__,
        seed=case.seed,
        members=case.members,
        years=case.years,
        warm_up_years=1,
        evidence=tuple(sorted({*evidence_ids(), *fixed})),
        notes=_notes(work),
    )


def _notes(work: Work) -> tuple[str, ...]:
    return (
        "A chance is the share of members and years in which any scraps found no room; members "
        "differ in everything that is uncertain, so it includes what is not known about this site.",
        "Vessels are followed for one year before the start, so that the chance is that of a "
        "running household; the calendar begins with empty vessels.",
        "What a vessel takes is computed for starts spread over each season; the rest for closings "
        "every 30 days, with straight lines between.",
        "Vessels are emptied on one day a week, those first that have waited longest: buried as "
        "far as a bed is free, may be given more this year, and people have time to dig; kept "
        "closed where a bed will take them; else passed on. Where beds take a fifth of a vessel or "
        "more, but not all of it, that part is buried and the rest passed on the same day.",
        "What beds take in a year: nitrogen within the ceiling, room for trenches, and phosphorus "
        "where the site states a limit, as in the plan of the beds; what harvests carry away is "
        "told beside it. Phosphorus that leaves with the liquid is counted as if it stayed.",
        "What moves the answer: one input at a time from its low to its high value (10 and 90 % "
        "points), all else at the middle; vessels and chance from up to 500 members, rest as the "
        "median of up to 60 that differ in all else. What the site itself states is held at that.",
        "The mix keeps the same shares through the year.",
        "Where a filling takes many weeks, two to five days make one layer in the computation; a "
        "vessel then seems to hold up to four parts in a hundred less than it does.",
        "The wait before sowing is that of acids, air, ammonia and salt in the soil after a burial "
        f"of typical ferment, with rain, followed for up to {waiting.FORESEEN_DAYS} days in up to "
        f"{waiting.MEMBERS} of the members; "
        "where a crop follows soon, ferment is taken to be laid half as thick.",
        "The ground is a first estimate; frost is computed without snow and without the heat of "
        "freezing, so real ground freezes later and less deep. Dates count on ground that can be "
        "dug in four years of five, as in the plan of the beds. In ground that is too cold for "
        "soil life but not frozen ferment is buried and rests: the wait counts with it.",
    )
