"""An invented plan, typed as the real one. Its figures are made up: never show them as results."""

from __future__ import annotations

from datetime import date, timedelta

from sourloam.planning.contract import (
    Blocked,
    Bran,
    Caution,
    Chance,
    ClassShare,
    Combination,
    Driver,
    Effect,
    Entry,
    Fill,
    Finish,
    Ground,
    LayerBran,
    LevelPoint,
    Liquid,
    MonthAmount,
    MonthGround,
    Plan,
    Practice,
    Provenance,
    Range,
    Scraps,
    Season,
    SeasonAmount,
    SeasonFill,
    SeasonRest,
    SiteSummary,
    Span,
    Usual,
    VesselKind,
    VesselOption,
    Vessels,
    WeekAmount,
)

START = date(2027, 3, 1)
UNTIL = date(2028, 2, 28)
KIND = "kitchen bucket"
LONG = (
    "This sentence is long on purpose, so that a caution which were cut off at the edge of a "
    "narrow console would lose its last words, and the last words are these: the marmot sleeps."
)


def rng(median, low, high, unit):
    return Range(median=median, low=low, high=high, unit=unit)


def months():
    return [date(2027 + (m > 12), (m - 1) % 12 + 1, 1) for m in range(3, 15)]


def weeks(scale, unit):
    found = []
    for week in range(1, 53):
        start = START + timedelta(days=7 * (week - 1))
        away = "summer away" if week in (23, 24) else ""
        size = scale * (0.15 if away else 1 + 0.12 * ((week * 7) % 5 - 2) / 2)
        amount = rng(size, size * 0.72, size * 1.35, unit)
        found.append(WeekAmount(week=week, start=start, amount=amount, closed=away))
    return tuple(found)


def spans():
    """Three vessels taking turns: 26 days of filling, rest by season, burial, a wash."""
    found, day, turn = [], START, 0
    free = {f"{KIND} no. {n}": START for n in (1, 2, 3)}
    while day < UNTIL:
        vessel = list(free)[turn % 3]
        if free[vessel] < day:
            found.append((vessel, "empty", free[vessel], day - timedelta(days=1)))
        full = min(day + timedelta(days=25), UNTIL)
        found.append((vessel, "filling", day, full))
        rest = 24 if full.month in (11, 12, 1, 2) else 13
        sour = full + timedelta(days=rest)
        found.append((vessel, "resting", full + timedelta(days=1), sour))
        free[vessel] = sour + timedelta(days=6)
        if sour.month in (12, 1):
            free[vessel] = max(free[vessel], date(2028, 2, 12))
            found.append((vessel, "held", sour + timedelta(days=1), free[vessel]))
        else:
            found.append((vessel, "ready", sour + timedelta(days=1), free[vessel]))
        free[vessel] += timedelta(days=1)
        day, turn = full + timedelta(days=1), turn + 1
    return tuple(
        Span(vessel=v, state=s, start=a, end=min(b, UNTIL)) for v, s, a, b in found if a <= UNTIL
    )


def site():
    return SiteSummary(
        name="Marmot kitchen",
        kind="home",
        start=START,
        until=UNTIL,
        accepted_risk=0.05,
        units="metric",
        scraps=("3 people, 60 % of their kitchen waste, household mix, chopped",),
        climate="an invented year",
        room="indoors, 19 °C, 17 °C in winter",
        vessels=(VesselKind(name=KIND, volume=19, usable=14.4, surface=0.061, owned=2),),
        has_ground=True,
        seasons=(
            Season(name="winter", months=(12, 1, 2)),
            Season(name="spring", months=(3, 4, 5)),
            Season(name="summer", months=(6, 7, 8)),
            Season(name="autumn", months=(9, 10, 11)),
        ),
    )


SEASONS = ("winter", "spring", "summer", "autumn")


def scraps():
    return Scraps(
        per_day=rng(0.47, 0.34, 0.62, "kg/day"),
        per_year=rng(171, 124, 226, "kg"),
        by_week=weeks(3.3, "kg"),
        by_season=tuple(
            SeasonAmount(season=s, amount=rng(0.47, 0.34, 0.62, "kg/day")) for s in SEASONS
        ),
        by_month=tuple(
            MonthAmount(month=m, amount=rng(3.3 + i / 10, 2.1, 4.9, "kg"))
            for i, m in enumerate(months())
        ),
        dry_matter=rng(21.3, 18.2, 24.8, "%"),
        composition=(
            ClassShare(name="fruit and vegetables", share=rng(58, 47, 68, "%")),
            ClassShare(name="starchy leftovers", share=rng(14, 9, 20, "%")),
            ClassShare(name="bread", share=rng(9, 5, 14, "%")),
            ClassShare(name="coffee and tea", share=rng(11, 7, 16, "%")),
            ClassShare(name="meat and fish", share=rng(8, 4, 13, "%")),
        ),
    )


def fill():
    return Fill(
        vessel=KIND,
        by_season=tuple(
            SeasonFill(
                season=s,
                days=rng(d, d - 5, d + 8, "days"),
                taken=rng(12.9, 11.7, 14.2, "kg"),
                layers=rng(d, d - 5, d + 8, "layers"),
                poor=0.07,
            )
            for s, d in zip(SEASONS, (27, 26, 30, 26), strict=True)
        ),
        level=tuple(
            LevelPoint(
                day=d,
                share=rng(
                    min(100, 135 * d / (d + 10)),
                    min(100, 120 * d / (d + 12)),
                    min(100, 150 * d / (d + 8)),
                    "%",
                ),
            )
            for d in range(0, 40)
        ),
        usual=Usual(
            text="six to eight weeks",
            low=42,
            high=56,
            unit="days",
            standing="common practice, no source",
        ),
        why="0.47 kg go in on a day; six to eight weeks fit 0.28-0.38 kg a day",
    )


def finish():
    return Finish(
        by_season=tuple(
            SeasonRest(
                season=s,
                days=rng(d, d - 3, d + 6, "days"),
                temperature=rng(t, t - 1.5, t + 1.5, "°C"),
                not_sour=0.012,
            )
            for s, d, t in zip(SEASONS, (17, 12, 10, 13), (16.5, 18.6, 21.2, 18.9), strict=True)
        ),
        usual=Usual(
            text="two weeks, 7-14 days",
            low=7,
            high=14,
            unit="days",
            standing="published",
        ),
        why="the newest layer starts last and the room is cooler in winter",
    )


def chance(number, share):
    return Chance(
        number=number,
        chance=share,
        low=max(0, share - 0.02),
        high=min(1, share + 0.03),
        refused=rng(90 * share, 70 * share, 120 * share, "kg"),
    )


def vessels():
    curve = tuple(
        chance(n, c)
        for n, c in zip(range(1, 9), (1.0, 0.46, 0.034, 0.006, 0.002, 0.0, 0.0, 0.0), strict=True)
    )
    return Vessels(
        answer="You need three kitchen buckets.",
        options=(
            VesselOption(
                vessel=KIND,
                owned=2,
                needed=3,
                needed_if_weighed=2,
                most_tried=8,
                curve=curve,
                verdict="Three are enough: the chance is 3 in 100 a year.",
            ),
        ),
        owned_together=Combination(
            vessels=(KIND, KIND),
            chance=chance(2, 0.46),
            enough=False,
            verdict="The two you own are not enough.",
        ),
        chosen=KIND,
        chosen_number=3,
        year=spans(),
        blocked=(
            Blocked(
                kind="ground",
                name="ground frozen",
                start=date(2027, 12, 10),
                end=date(2028, 2, 8),
            ),
            Blocked(
                kind="closed",
                name="summer away",
                start=date(2027, 8, 2),
                end=date(2027, 8, 15),
            ),
        ),
    )


def bran():
    return Bran(
        carrier="wheat bran",
        spoon="metric tablespoon",
        dose=rng(27, 22, 34, "g/kg"),
        per_layer=(
            LayerBran(
                vessel=KIND,
                mass=rng(14, 11, 18, "g"),
                spoons=rng(2.1, 1.6, 2.8, "spoons"),
                per_surface=rng(230, 180, 300, "g/m2"),
                by_share=rng(12, 9, 16, "g"),
                by_surface=rng(14, 11, 18, "g"),
            ),
        ),
        by_month=tuple(MonthAmount(month=m, amount=rng(420, 330, 540, "g")) for m in months()),
        per_year=rng(5.0, 4.0, 6.4, "kg"),
        doubled=False,
        why="the dusting of the surface asks for more than 2.5 % of the scraps",
    )


def liquid():
    return Liquid(
        by_week=weeks(190, "mL"),
        per_kg=rng(61, 22, 115, "mL/kg"),
        per_year=rng(10.2, 3.6, 19.9, "L"),
        drain_every_days=3,
        usual_rhythm=Usual(
            text="every two to four days", low=2, high=4, unit="days", standing="published"
        ),
        room_days=14,
        per_draining=rng(85, 30, 160, "mL"),
        sump=2400,
        days_until_sump_full=rng(85, 44, None, "days"),
        usual=Usual(
            text="every two to three days",
            low=2,
            high=3,
            unit="days",
            standing="common practice, no source",
        ),
        why="a drain every third day is worth the walk and the liquid is still fresh",
        dilution="1 part in at least 100 parts of water, on soil, never on leaves eaten raw.",
    )


def ground():
    return Ground(
        way="trench",
        vessels_per_year=rng(13, 10, 17, "vessels"),
        per_vessel_mass=rng(11.8, 10.4, 13.1, "kg"),
        per_vessel_nitrogen=rng(66, 50, 85, "g"),
        trench_per_vessel=rng(1.6, 1.3, 2.1, "m"),
        bed_area=rng(50, 38, 66, "m2"),
        bed_area_least=rng(34, 26, 45, "m2"),
        bed_area_given=12,
        enough=False,
        buried=2,
        parted=1,
        passed_on=9,
        rest_goes="other people",
        phosphorus=rng(2.6, 1.4, 4.1, "g/m2"),
        phosphorus_carried=2.2,
        limited_by="nitrogen",
        tub_soil=None,
        wait=rng(18, 14, 26, "days"),
        wait_by_season=tuple(
            SeasonAmount(season=s, amount=rng(d, d - 4, d + 8, "days"))
            for s, d in zip(SEASONS, (31, 19, 15, 20), strict=True)
        ),
        by_month=tuple(
            MonthGround(
                month=m,
                closed_days=rng(26 if m.month in (12, 1) else 0, 0, 31, "days"),
                busy_days=10 if m.month in (6, 7) else 0,
            )
            for m in months()
        ),
        why="the nitrogen of 13 vessels is more than 12 m2 may take in a year",
    )


def calendar():
    return (
        Entry(date=START, kind="start", vessel=f"{KIND} no. 1", text="Start the first vessel."),
        Entry(
            date=date(2027, 3, 26), kind="full", vessel=f"{KIND} no. 1", text="About full; close."
        ),
        Entry(
            date=date(2027, 3, 27),
            until=date(2027, 4, 8),
            kind="rest",
            vessel=f"{KIND} no. 1",
            text="Rest, sealed.",
        ),
        Entry(
            date=date(2027, 4, 9),
            until=date(2027, 4, 15),
            kind="bury",
            vessel=f"{KIND} no. 1",
            text="Bury.",
        ),
        Entry(
            date=date(2027, 8, 2),
            until=date(2027, 8, 15),
            kind="closed",
            text="Summer away: press, cover, seal.",
        ),
        Entry(date=date(2027, 12, 4), kind="last_burial", text="Last burial before the frost."),
    )


def effect(outcome, unit, low, high):
    middle = (low + high) / 2
    return Effect(
        outcome=outcome, unit=unit, at_low=low, at_high=high, share=abs(high - low) / middle
    )


def drivers():
    rows = (
        ("site.capture", "how much reaches the vessel", 0.4, 0.6, 0.8, "share", 36, 20, 13, 12),
        ("scraps.dry_matter", "dry matter of the mix", 18, 21, 25, "%", 23, 30, 12, 14),
        ("site.temperature", "temperature of the room", 17, 19, 21, "°C", 26, 26, 17, 10),
        ("vessel.pressing", "how hard you press", 1, 3, 6, "kPa", 23, 28, 12.5, 13),
        ("bran.strength", "strength of the bran", 6.5, 7.5, 8.5, "log10 cfu/g", 26, 26, 15, 11),
    )
    return tuple(
        Driver(
            id=i,
            name=name,
            rank=rank,
            low=low,
            middle=middle,
            high=high,
            unit=unit,
            effects=(
                effect("fill", "days", a, b),
                effect("finish", "days", c, d),
                effect("liquid", "mL/kg", 30 + 10 * rank, 95 - 12 * rank),
                effect("chance", "share", 0.01 * rank, 0.09),
            ),
            text=f"{name}: worth knowing better.",
        )
        for rank, (i, name, low, middle, high, unit, a, b, c, d) in enumerate(rows, 1)
    )


def practice():
    return (
        Practice(
            id="two_vessels",
            rule="Two vessels for a household",
            usual="2, or 3 for a large family",
            computed=rng(3, 3, 3, "vessels"),
            shown="3 vessels",
            verdict="differs",
            why="one fills faster than the other rests in winter",
            source="common practice",
            standing="common practice, no source",
        ),
        Practice(
            id="rest",
            rule="Rest two weeks",
            usual="7-14 days",
            computed=rng(13, 9, 19, "days"),
            shown="13 days (9-19)",
            verdict="agrees",
            why="",
            source="council pages",
            standing="published",
        ),
        Practice(
            id="spares",
            rule="Keep a tenth of the vessels as spares",
            usual="10 %",
            computed=None,
            shown="not computed for one kitchen",
            verdict="no figure",
            why="",
            source="common practice",
            standing="common practice, no source",
        ),
    )


def cautions():
    return (
        Caution(
            id="acid",
            title="The liquid is acid",
            applies="You will drain a vessel with a tap.",
            text=LONG,
            source="the judgement of the authors",
            standing="our judgement",
        ),
        Caution(
            id="rules",
            title="Ask about local rules",
            applies="You left the question of burial open.",
            text="Some places bind this practice. Ask your local authority before you bury.",
            source="several codes",
            standing="published",
        ),
    )


def invented_plan(**changes):
    """The whole plan; keyword arguments replace top-level parts."""
    parts = {
        "site": site(),
        "scraps": scraps(),
        "fill": (fill(),),
        "finish": finish(),
        "vessels": vessels(),
        "bran": bran(),
        "liquid": liquid(),
        "ground": ground(),
        "calendar": calendar(),
        "drivers": drivers(),
        "practice": practice(),
        "cautions": cautions(),
        "provenance": Provenance(
            version="0.0.0",
            seed=1,
            members=500,
            years=1,
            warm_up_years=1,
            evidence=("ground.nitrogen_ceiling", "practice.rest", "practice.fill"),
            notes=("Seven days of the week are alike.",),
        ),
    }
    return Plan(**(parts | changes))
