"""What the page to play with says: names of its sliders, what a difference does, and why."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from sourloam.web import wording as w
from sourloam.web.try_it.model import Floats, Outcome
from sourloam.web.try_it.settings import Side, Trial

_NEVER = 1e6  # days that stand for never, so that cases can be put in order
_TOLD = 0.10  # a smaller difference of a chance is not told
_LIQUID_TOLD = 0.15
_STEADY_TOLD = 2  # days; less is within what a day's step blurs
WEEKS = 4

DIAL_WORDS: w.Words = {
    "warmth": gettext_lazy("Warmth"),
    "bran": gettext_lazy("Inoculated bran"),
    "bread": gettext_lazy("Bread in it"),
    "meat": gettext_lazy("Meat and fish in it"),
    "sugar": gettext_lazy("Sugar stirred in"),
    "layer": gettext_lazy("Scraps in a layer"),
    "plate": gettext_lazy("Weight on the plate"),
    "opened": gettext_lazy("Opened besides, each day"),
    "leak": gettext_lazy("Air through the lid, each day"),
    "mix": gettext_lazy("Kind of scraps"),
    "pieces": gettext_lazy("Cut"),
}
PIECE_WORDS: w.Words = {
    "minced": gettext_lazy("minced"),
    "chopped": gettext_lazy("chopped"),
    "whole": gettext_lazy("left whole"),
}
_MORE: w.Words = {
    "warmth": gettext_lazy("Warmer by %(by)s"),
    "bran": gettext_lazy("More bran"),
    "bread": gettext_lazy("More bread"),
    "meat": gettext_lazy("More meat and fish"),
    "sugar": gettext_lazy("Sugar stirred in"),
    "layer": gettext_lazy("Larger layers"),
    "plate": gettext_lazy("More weight on the plate"),
    "opened": gettext_lazy("Opened more often"),
    "leak": gettext_lazy("A leaking lid"),
    "pieces": gettext_lazy("Coarser pieces"),
}
_LESS: w.Words = {
    "warmth": gettext_lazy("Colder by %(by)s"),
    "bran": gettext_lazy("Less bran"),
    "bread": gettext_lazy("Less bread"),
    "meat": gettext_lazy("Less meat and fish"),
    "sugar": gettext_lazy("Less sugar"),
    "layer": gettext_lazy("Smaller layers"),
    "plate": gettext_lazy("Less weight on the plate"),
    "opened": gettext_lazy("Opened less often"),
    "leak": gettext_lazy("A tighter lid"),
    "pieces": gettext_lazy("Finer pieces"),
}
_WHY_MORE: w.Words = {
    "warmth": gettext_lazy("Lactic bacteria divide faster in the warm, so acid comes sooner."),
    "bran": gettext_lazy(
        "Bran brings lactic bacteria by the million: the more there are at the start, the less "
        "sugar others get."
    ),
    "bread": gettext_lazy(
        "Bread is dry and full of starch: it soaks up the liquid, and starch must first be taken "
        "apart before bacteria can eat it."
    ),
    "meat": gettext_lazy(
        "Meat and fish swallow acid and bring hardly any sugar to make acid from."
    ),
    "sugar": gettext_lazy("Sugar is what lactic bacteria make acid from."),
    "layer": gettext_lazy("Large layers fill the vessel sooner and leave less air above."),
    "plate": gettext_lazy(
        "In this model a weight only presses, and hands have pressed already. That a plate keeps "
        "air off the top is not counted: try it with a real one."
    ),
    "opened": gettext_lazy(
        "Each opening lets fresh air in. Mould and yeast live on air, and eat the acid."
    ),
    "leak": gettext_lazy(
        "Air that creeps in feeds mould and yeast, and they eat the acid that guards the scraps."
    ),
    "pieces": gettext_lazy("Sugar stays locked up in whole pieces until their cells burst."),
}
_WHY_LESS: w.Words = {
    "warmth": gettext_lazy(
        "Lactic bacteria divide slowly in the cold, so acid comes late; what rots in the cold "
        "has more time."
    ),
    "bran": gettext_lazy(
        "Most lactic bacteria come with the bran: without it the few that live on the scraps must "
        "first become many."
    ),
    "bread": gettext_lazy("Moist scraps let go of juice, and their sugar is ready to be eaten."),
    "meat": gettext_lazy("Less meat and fish swallow less acid."),
    "sugar": gettext_lazy("Less sugar means less to make acid from."),
    "layer": gettext_lazy("Small layers fill the vessel slowly and leave more air above."),
    "plate": _WHY_MORE["plate"],
    "opened": gettext_lazy("A closed lid keeps air out, and mould and yeast need air."),
    "leak": gettext_lazy("A tight lid keeps air out, and mould and yeast need air."),
    "pieces": gettext_lazy("Cut pieces let out their juice, and the sugar in it, at once."),
}


_WHY_HARDLY: w.Words = {
    "bran": gettext_lazy(
        "Where it is warm and scraps hold sugar, the few lactic bacteria that live on them become "
        "many within days, bran or not. Bran counts for most where it is cool."
    ),
    "plate": _WHY_MORE["plate"],
}


@dataclass(frozen=True)
class Gap:
    """How much later, more or less, one vessel is than the other: 10, 50 and 90 % points."""

    low: float
    middle: float
    high: float


def gap(first: Floats, second: Floats) -> Gap:
    """Second less first, case by case."""
    apart = np.minimum(second, _NEVER) - np.minimum(first, _NEVER)
    low, middle, high = np.quantile(apart, (0.1, 0.5, 0.9), method="nearest")
    return Gap(float(low), float(middle), float(high))


def middle_of(days: Floats) -> float:
    """The middle of the cases, as the table beside tells it; infinite where that is never."""
    return float(np.quantile(days, 0.5, method="nearest"))


def says(trial: Trial, a: Outcome, b: Outcome) -> str:
    """One sentence: what differs, what that does, and why. Both figures of each difference are
    those of the table beside; what differs by no figure there is no difference."""
    changed = trial.changes()
    if not changed:
        return _(
            "A and B are alike. Move one slider of B, or take a comparison from above, and see "
            "what it does."
        )
    effects = _effects(a, b, trial.units)
    what = _change(trial, changed)
    done = "; ".join(effects[:2]) if effects else _hardly(a, b)
    return f"{what}: {done}. {_why(trial, changed, _counts(changed, a, b) if effects else False)}"


def _counts(changed: tuple[str, ...], a: Outcome, b: Outcome) -> bool:
    """Whether what differs decides; bran only where it decides whether a vessel fails."""
    return changed != ("bran",) or abs(b.failing.share - a.failing.share) >= _TOLD


def _effects(a: Outcome, b: Outcome, units: str) -> list[str]:
    """What can be told of B beside A, the gravest first."""
    found = []
    fails = round(100 * a.failing.share), round(100 * b.failing.share)
    if abs(fails[1] - fails[0]) >= 100 * _TOLD:
        found.append(_("%(b)d in a hundred fail instead of %(a)d") % {"a": fails[0], "b": fails[1]})
    sour = _sooner_or_later(a, b)
    found += [sour] if sour else []
    mould = round(100 * a.spoilt_top.share), round(100 * b.spoilt_top.share)
    if abs(mould[1] - mould[0]) >= 100 * _TOLD:
        found.append(
            _("mould on top in %(b)d of a hundred instead of %(a)d")
            % {"a": mould[0], "b": mould[1]}
        )
    liquid = _more_or_less(a, b, units)
    return found + ([liquid] if liquid else [])


def _sooner_or_later(a: Outcome, b: Outcome) -> str:
    """Days until sour, or until sour and steady where those differ by more, and by some days."""
    rows = (a.sour_days, b.sour_days), (a.steady_days, b.steady_days)
    apart = [_days_between(*row) for row in rows]
    which = 1 if apart[1] > max(apart[0], _STEADY_TOLD - 1) else 0
    if apart[which] == 0:
        return ""
    first, second = (middle_of(days) for days in rows[which])
    if not np.isfinite(first + second):
        return _never(bool(which), "B" if np.isfinite(first) else "A")
    text = (
        ngettext(
            "sour and steady after %(b)d day instead of %(a)d",
            "sour and steady after %(b)d days instead of %(a)d",
            int(second),
        )
        if which
        else ngettext(
            "sour after %(b)d day instead of %(a)d",
            "sour after %(b)d days instead of %(a)d",
            int(second),
        )
    ) % {"a": first, "b": second}
    return _with_ends(text, gap(*rows[which]))


def _days_between(first: Floats, second: Floats) -> float:
    """By how much the middles differ; that which never comes counts for most, nought if alike."""
    one, other = (min(middle_of(days), _NEVER) for days in (first, second))
    return abs(one - other)


def _never(steady: bool, letter: str) -> str:
    said = {"late": letter, "n": WEEKS}
    if steady:
        return _("%(late)s is not sour and steady %(n)d weeks after its last layer") % said
    return _("%(late)s is not sour %(n)d weeks after its last layer") % said


def _with_ends(text: str, apart: Gap) -> str:
    """With the range of the difference, run by run, where it has two ends."""
    ends = _ends(apart)
    return f"{text} ({ends})" if ends else text


def _ends(apart: Gap) -> str:
    """The range of a difference in days, of the runs of both that had the same draws."""
    low, high = apart.low, apart.high
    if min(low, -high) < -_NEVER / 2 and low < 0 < high:
        return ""
    if high > _NEVER / 2:
        if low == 0:
            return _("run by run from the same day to never")
        later = ngettext(
            "run by run from %(n)d day later to never",
            "run by run from %(n)d days later to never",
            low,
        )
        return later % {"n": low}
    if low < -_NEVER / 2:
        return _("run by run %(n)d or more days sooner") % {"n": -high}
    if low == high == 0:
        return _("run by run the same day")
    if low >= 0:
        return _("run by run %(low)d to %(high)d days later") % {"low": low, "high": high}
    if high <= 0:
        return _("run by run %(low)d to %(high)d days sooner") % {"low": -high, "high": -low}
    return _("run by run %(low)d sooner to %(high)d later") % {"low": -low, "high": high}


def _hardly(a: Outcome, b: Outcome) -> str:
    """Where nothing differs enough to be told."""
    days = middle_of(b.sour_days)
    if not np.isfinite(days):
        return _("hardly a difference; neither is sour %(n)d weeks after its last layer") % {
            "n": WEEKS
        }
    text = ngettext(
        "hardly a difference; both are sour after %(n)d day",
        "hardly a difference; both are sour after %(n)d days",
        int(days),
    ) % {"n": days}
    return _with_ends(text, gap(a.sour_days, b.sour_days))


def _more_or_less(a: Outcome, b: Outcome, units: str) -> str:
    """Liquid in all; empty where the shown amounts are alike or nearly so."""
    first, second = (float(np.median(one.liquid_total_ml)) for one in (a, b))
    shown = w.liquid(first, units), w.liquid(second, units)
    if shown[0] == shown[1] or abs(second - first) < max(_LIQUID_TOLD * first, 20):
        return ""
    text = _("%(b)s of liquid instead of %(a)s") % {"a": shown[0], "b": shown[1]}
    apart = gap(a.liquid_total_ml, b.liquid_total_ml)
    low, high = (apart.low, apart.high) if second > first else (-apart.high, -apart.low)
    if low < 0:
        return text
    ends = {"range": w.liquid_range(low, high, units, apart.middle)}
    more = _("run by run %(range)s more") if second > first else _("run by run %(range)s less")
    return f"{text} ({more % ends})"


def _change(trial: Trial, changed: tuple[str, ...]) -> str:
    if len(changed) > 1:
        many = len(changed)
        return ngettext("%(n)d change together", "%(n)d changes together", many) % {"n": many}
    name = changed[0]
    if name == "mix":
        return _("Other scraps")
    if name == "bran" and trial.b.bran == 0:
        return _("No bran")
    if name == "plate" and trial.b.plate == 0:
        return _("No plate")
    by = w.warmth_apart(abs(_rank(trial.b, name) - _rank(trial.a, name)), trial.units)
    return w.word(_MORE if _is_more(trial, name) else _LESS, name) % {"by": by}


def _why(trial: Trial, changed: tuple[str, ...], counts: bool) -> str:
    if len(changed) > 1:
        return _("Change one thing at a time to see which of them does it.")
    name = changed[0]
    if not counts:
        usual = _("Here other things decide; where souring is slow this may decide more.")
        return w.word(_WHY_HARDLY, name) if name in _WHY_HARDLY else usual
    if name == "mix":
        return _(
            "Each kind of scraps brings its own water, its own sugar, its own thirst for acid."
        )
    return w.word(_WHY_MORE if _is_more(trial, name) else _WHY_LESS, name)


def _is_more(trial: Trial, name: str) -> bool:
    return _rank(trial.b, name) > _rank(trial.a, name)


def _rank(side: Side, name: str) -> float:
    if name == "pieces":
        return float(list(PIECE_WORDS).index(side.pieces))
    return float(getattr(side, name))


def dial_says(name: str, value: float, units: str = "metric") -> str:
    """A slider's value as it is read out."""
    if name == "warmth":
        return w.warmth(value, units)
    if name == "bran" and value == 0:
        return _("none")
    if name in ("bran", "sugar"):
        return w.dose(value / 1000, units) if value else _("none")
    if name in ("bread", "meat"):
        return w.share(value / 100) if value else _("as usual")
    if name == "plate":
        return w.kg(value, units) if value else _("no plate")
    if name == "opened":
        return (
            ngettext("%(n)d time", "%(n)d times", int(value)) % {"n": value}
            if value
            else _("never")
        )
    if name == "leak":
        return w.litres(value, units) if value else _("a usual lid")
    return w.kg(value, units)
