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
_WEEKS = 4

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


def says(trial: Trial, a: Outcome, b: Outcome) -> str:
    """One sentence: what differs, what that does, and why."""
    changed = trial.changes()
    if not changed:
        return _(
            "A and B are alike. Move one slider of B, or take a comparison from above, and see "
            "what it does."
        )
    effects = _effects(a, b, trial.units)
    what = _change(trial, changed)
    done = "; ".join(effects[:2]) if effects else _("hardly any difference that one could see")
    return f"{what}: {done}. {_why(trial, changed)}"


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
    apart = gap(a.sour_days, b.sour_days)
    if apart.middle == 0:
        return ""
    if abs(apart.middle) > _NEVER / 2:
        late = "B" if apart.middle > 0 else "A"
        return _("%(late)s is not sour %(n)d weeks after its last layer") % {
            "late": late,
            "n": _WEEKS,
        }
    days = int(abs(apart.middle))
    low, high = _towards(apart)
    if low < -_NEVER / 2:
        return ""
    ends = _("%(low)s to %(high)s") % {"low": f"{low:.0f}", "high": f"{high:.0f}"}
    if high > _NEVER / 2:
        ends = _("%(n)s or more") % {"n": f"{low:.0f}"}
    later = apart.middle > 0
    text = (
        ngettext("sour %(n)d day later", "sour %(n)d days later", days)
        if later
        else ngettext("sour %(n)d day sooner", "sour %(n)d days sooner", days)
    )
    return f"{text % {'n': days}} ({ends})"


def _towards(apart: Gap) -> tuple[float, float]:
    """The ends of a gap, counted in the direction of its middle."""
    return (apart.low, apart.high) if apart.middle > 0 else (-apart.high, -apart.low)


def _more_or_less(a: Outcome, b: Outcome, units: str) -> str:
    apart = gap(a.liquid_total_ml, b.liquid_total_ml)
    usual = float(np.median(a.liquid_total_ml))
    if abs(apart.middle) < max(_LIQUID_TOLD * usual, 20):
        return ""
    amount = {
        "by": w.liquid(abs(apart.middle), units),
        "range": w.liquid_range(*_towards(apart), units, abs(apart.middle)),
    }
    if apart.middle > 0:
        return _("%(by)s more liquid (%(range)s)") % amount
    return _("%(by)s less liquid (%(range)s)") % amount


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


def _why(trial: Trial, changed: tuple[str, ...]) -> str:
    if len(changed) > 1:
        return _("Change one thing at a time to see which of them does it.")
    name = changed[0]
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
