"""How the shares of causes came about, in words."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.triage import CAUSES, SIGNS, Beliefs, Spoken, Verdict, raised, speaking


def how_known(verdict: Verdict, beliefs: Beliefs, taught: int) -> list[str]:
    """Lines below the causes: what they began with, which signs spoke loudest, what the log did."""
    if verdict.doubt == "nothing_told":
        return []
    cause = _(CAUSES[verdict.first.cause].label)
    lines = [
        _(
            "Each cause begins with how often it comes in places like yours; each sign then speaks "
            "for it or against it. The strongest sign counts whole, the others less, since signs "
            "come together. The range is what our shares, as unsure as they are, allow: eight of "
            "ten draws lie in it."
        )
    ]
    lines += [_spoken(one, cause) for one in speaking(verdict, beliefs)]
    for name, by in raised(verdict):
        lines.append(
            _("What the log knows makes this likelier, %(times)s times: %(cause)s.")
            % {"times": f"{by:.2g}", "cause": _(CAUSES[name].label)}
        )
    if verdict.context.chance_of_failing is not None:
        lines.append(
            _("The forecast counts too: it lets this vessel fail in %(n)d of 100 runs.")
            % {"n": round(100 * verdict.context.chance_of_failing)}
        )
    return [*lines, _taught(taught)]


def _spoken(one: Spoken, cause: str) -> str:
    text = (
        _("%(sign)s: in %(first)d of 100 with “%(cause)s”, in %(others)d with other causes.")
        if one.there
        else _(
            "Not found, %(sign)s: in %(first)d of 100 with “%(cause)s”, in %(others)d with others."
        )
    )
    sign = _(SIGNS[one.sign].label)
    return text % {
        "sign": sign[:1].upper() + sign[1:] if one.there else sign,
        "cause": cause,
        "first": round(100 * one.with_first),
        "others": round(100 * one.with_others),
    }


def _taught(taught: int) -> str:
    if not taught:
        return _(
            "How each case went, written down here, teaches these shares; none is written yet."
        )
    return ngettext(
        "%(n)d case of this place whose outcome was written down has taught them.",
        "%(n)d cases of this place whose outcomes were written down have taught them.",
        taught,
    ) % {"n": taught}
