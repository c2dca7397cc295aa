"""What ``sourloam bran`` was asked, read from words, and the batch computed from it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from sourloam.cli.progress import progress
from sourloam.cli.trouble import Refusal

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from sourloam.bran import Answer, Case, Mixture, Trial
    from sourloam.bran.contract import Supply
    from sourloam.bran.making import Batch
    from sourloam.bran.steps import Setting
    from sourloam.bran.supplying import MonthDemand, Need
    from sourloam.cli.asking import System
    from sourloam.site import Site

Way = Literal["air", "fan", "sun", "oven", "none"]
_PLAN_MEMBERS = 100  # enough to tell the demand of a month
_ROOM = "22 °C"
_GRAMS = 1000.0
_SPOONS = {"metric": "metric_tablespoon", "us": "us_tablespoon"}


@dataclass(frozen=True)
class Asked:
    """All that was asked, in the units of the rooms."""

    mixture: Mixture
    sweet: str
    inoculum: str
    sweet_rate: float | None
    inoculum_rate: float | None
    moisture: float | None
    room_c: float
    closed_days: int | None
    way: Way
    air_c: float
    humidity: float
    oven_c: float
    layer: float | None
    store_c: float
    want_kg: float | None
    box_m3: float | None
    prices: Mapping[str, float]
    trials: Sequence[Trial]
    start: dt.date
    cup: str
    system: System
    members: int
    seed: int

    def case(self, dry_kg: float) -> Case:
        """The batch that was asked for, of a size."""
        from sourloam.bran import Case, Drying, Wish

        return Case(
            wish=Wish(
                dry_kg,
                self.mixture,
                self.sweet,
                self.inoculum,
                moisture=self.moisture,
                sweet_rate=self.sweet_rate,
                inoculum_rate=self.inoculum_rate,
            ),
            room_c=self.room_c,
            drying=Drying(self.way, self.air_c, self.humidity, self.oven_c, self.layer),
            store_c=self.store_c,
            closed_days=self.closed_days,
        )


def compute(asked: Asked, places: Sequence[Site] = ()) -> Answer:
    """The page for what was asked, or for what the places need, made at the first; Refusal in one
    line for what cannot be made."""
    import numpy as np

    from sourloam.bran import after_tests, answer, draw, make_batch
    from sourloam.bran.steps import Setting
    from sourloam.evidence import book

    place = places[0] if places else None
    setting = Setting(asked.start, asked.system, asked.box_m3)
    parameters = draw(book(), asked.members, np.random.default_rng(asked.seed))
    try:
        supply, wanted = None, asked.want_kg
        if place is not None:
            supply = _supply(make_batch(asked.case(1.0), parameters), setting, places, asked.seed)
            wanted = supply.need.median
        made = make_batch(asked.case(wanted or 1.0), parameters)
        made = after_tests(made, asked.trials, np.random.default_rng(asked.seed))
        own = None if place is None else place.bran.dose
        spoon = _SPOONS[asked.system] if place is None else place.bran.spoon
        return answer(
            made,
            setting,
            asked.prices,
            asked.seed,
            supply,
            (asked.cup, spoon),
            asked.trials,
            own,
        )
    except ValueError as error:
        raise Refusal(str(error)) from None


def _supply(trial: Batch, setting: Setting, places: Sequence[Site], seed: int) -> Supply:
    """How much the places need while a batch like this is good, by their plans."""
    from sourloam.bran import supplying
    from sourloam.bran.contract import Supply
    from sourloam.bran.steps import packing_day
    from sourloam.numerics import Range
    from sourloam.units import show

    days = supplying.lasting_days(trial)
    ready = setting.start + dt.timedelta(days=packing_day(trial) + 1)
    weaker, need = _need(trial, places, ready, days, seed)
    names = _listed([place.place.name for place in places])
    ask = "needs" if len(places) == 1 else "need"
    following = supplying.start_next(trial, need.until)
    text = (
        f"Make {show(need.middle_kg, 'mass', setting.system)}: that is what {names} {ask} from "
        f"{need.first.isoformat()} to {need.until.isoformat()} ({days} days). "
    )
    if weaker > 1.01:
        text += f"As it weakens the dose rises, on average to {weaker:.1f} times the usual. "
    if trial.usual_good_days < days:
        text += (
            f"By the middle of the forecast it is strong enough for {trial.usual_good_days} days "
            "only: keep it in a refrigerator, or test it before you rely on it. "
        )
    text += f"Mix the next batch on {following.isoformat()}."
    if following <= setting.start:
        text += " That is before this one is used up: make two at a time, or keep it cooler."
    return Supply(
        site=names,
        need=Range(low=need.low_kg, median=need.middle_kg, high=need.high_kg, unit="kg"),
        first=need.first,
        until=need.until,
        start_next=following,
        text=text,
    )


def _need(
    trial: Batch, places: Sequence[Site], ready: dt.date, days: int, seed: int
) -> tuple[float, Need]:
    """By how much doses rise on average, and what all places ask for together."""
    from sourloam.bran import supplying
    from sourloam.bran.answer import usual_dose

    rises, needs = [], []
    for place in places:
        rises.append(supplying.weakening(trial, days, usual_dose(place.bran.dose)))
        needs.append(supplying.need(_demand(place, seed), ready, days, rises[-1]))
    return max(rises), supplying.together(needs)


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _demand(place: Site, seed: int) -> Sequence[MonthDemand]:
    """Bran by month, from the place's plan."""
    from sourloam.bran.supplying import MonthDemand
    from sourloam.planning import make_plan

    with progress() as report:
        plan = make_plan(place, years=1, members=_PLAN_MEMBERS, seed=seed, progress=report)
    return [
        MonthDemand(m.month, *((x or 0.0) / _GRAMS for x in (low, middle, high)))
        for m in plan.bran.by_month
        for low, middle, high in [(m.amount.low, m.amount.median, m.amount.high)]
    ]


def usual_room(place: Site | None) -> str:
    """The room of the site if it is stated, else a usual one."""
    if place is None or place.room.temperature_c is None:
        return _ROOM
    return f"{place.room.temperature_c:g} °C"


def mixture(written: Sequence[str], moisture: str | None, place: Site | None) -> Mixture:
    """The carriers with their shares; the site's own, else wheat bran, if none is given."""
    from sourloam.bran import Mixture
    from sourloam.bran.carriers import CARRIERS

    names = list(written) or [place.bran.carrier if place is not None else "wheat_bran"]
    shares: dict[str, float | None] = {}
    for text in names:
        name, _, part = text.partition("=")
        if name not in CARRIERS:
            raise Refusal(f"--carrier {text}: choose from {', '.join(CARRIERS)}")
        if name in shares:
            raise Refusal(f"--carrier {name}: stands twice")
        shares[name] = quantity(f"--carrier {name}", part, "share") if part else None
    open_ = [name for name, part in shares.items() if part is None]
    left = 1 - sum(part for part in shares.values() if part is not None)
    full = {n: left / len(open_) if p is None else p for n, p in shares.items()}
    wet = None if moisture is None else between("--carrier-moisture", moisture, "share", 0, 0.9)
    try:
        return Mixture(full, wet)
    except ValueError as error:
        raise Refusal(f"--carrier: {error}") from None


def quantity(option: str, text: str, dimension: str) -> float:
    """A quantity in the dimension's own unit; Refusal that names the option."""
    from sourloam.units import UnitError, parse

    try:
        return parse(text, dimension)
    except UnitError as error:
        raise Refusal(f"{option}: {error}") from None


def between(option: str, text: str, dimension: str, least: float, most: float) -> float:
    """A quantity within bounds."""
    from sourloam.units import show

    value = quantity(option, text, dimension)
    if not least <= value <= most:
        bounds = f"{show(least, dimension)} to {show(most, dimension)}"
        raise Refusal(f"{option} {text}: give {bounds}")
    return value


def share(option: str, text: str | None) -> float | None:
    """A share or dose below 1, None if not given."""
    if text is None:
        return None
    return between(option, text, "share", 0.0, 0.9)


def prices(written: Sequence[str]) -> dict[str, float]:
    """Prices by what they are for."""
    from sourloam.bran.costing import PRICED

    found: dict[str, float] = {}
    for text in written:
        name, _, money = text.partition("=")
        try:
            found[name] = float(money)
        except ValueError:
            raise Refusal(f"--price {text}: write it as carrier=0.80") from None
        if name not in PRICED:
            raise Refusal(f"--price {text}: choose from {', '.join(PRICED)}")
        if not 0 <= found[name] < float("inf"):
            raise Refusal(f"--price {text}: give 0 or more")
    return found


def trials(written: Sequence[str]) -> list[Trial]:
    """Tests that were done, such as sour_drop=20@30."""
    from sourloam.bran import Trial

    found = []
    for text in written:
        kind, _, rest = text.partition("=")
        result, _, when = rest.partition("@")
        try:
            value = float("inf") if result.strip() == "never" else float(result)
            found.append(Trial(kind, value, day=float(when or 0)))
        except ValueError as error:
            why = str(error) if kind in str(error) or "pH" in str(error) else ""
            raise Refusal(f"--test {text}: {why or 'write it as sour_drop=20@30'}") from None
    return found


def day(text: str | None) -> dt.date:
    """The day of mixing; today if none is given."""
    if text is None:
        return dt.date.today()
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise Refusal(f"--start {text}: write it as 2026-03-02") from None
