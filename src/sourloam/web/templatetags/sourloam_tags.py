"""What templates need beyond Django's own."""

from __future__ import annotations

import datetime as dt

from django import template
from django.utils.safestring import SafeString, mark_safe

from sourloam.drawing import draw_strip_swatch
from sourloam.web import wording as w
from sourloam.web.icons import icon as icon_svg

register = template.Library()


@register.simple_tag
def icon(name: str) -> SafeString:
    """A small drawn sign; its text holds nothing that people wrote."""
    return mark_safe(icon_svg(name))


@register.simple_tag
def strip_swatch(state: str) -> SafeString:
    """A piece of strip in the colour and with the strokes of a state."""
    return mark_safe(draw_strip_swatch(state))


@register.filter
def moment(value: dt.datetime) -> str:
    """A day and time as the place's clock showed it; the year where it is not this one."""
    return w.moment(value)


@register.filter
def typed(value: str) -> str:
    """A number in a field, as the reader's language writes it."""
    return w.with_comma(value)


@register.filter
def week_day(value: dt.date | None) -> str:
    """A day with its weekday, in the reader's language."""
    return w.week_day(value) if value else ""
