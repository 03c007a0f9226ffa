"""Small filters and tags that every template may use."""

from __future__ import annotations

from datetime import date, datetime

from django import template
from django.utils import timezone
from django.utils.crypto import get_random_string
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from projects.actions.amounts import usd as amount_words
from projects.route.standing_types import Standing
from projects.screens import oneline
from projects.screens import sent_once as once
from projects.screens.tasks import task

register = template.Library()


@register.simple_tag
def oneline_drawing(standing: Standing) -> SafeString:
    """The progress drawing, wide and tall; the stylesheet shows the one that fits."""
    return mark_safe(oneline.oneline_wide(standing) + oneline.oneline_tall(standing))


@register.simple_tag
def sent_once() -> SafeString:
    """Beside ``csrf_token`` in a form that adds something: sent twice from this page, it adds it once."""
    return format_html('<input type="hidden" name="{}" value="{}">', once.NAME, get_random_string(22))


@register.filter
def day(value: date | datetime | None) -> str:
    """ "3 Nov", with the year where it isn't this one."""
    if value is None:
        return ""
    if isinstance(value, datetime):
        value = timezone.localtime(value).date() if timezone.is_aware(value) else value.date()
    text = f"{value.day} {value:%b}"
    return text if value.year == timezone.localdate().year else f"{text} {value.year}"


@register.filter
def due(value: date | None) -> str:
    """ "due tomorrow", "3 days late", "due 2 Dec" """
    if value is None:
        return ""
    days = (value - timezone.localdate()).days
    if days < -1:
        return f"{-days} days late"
    return {-1: "1 day late", 0: "due today", 1: "due tomorrow"}.get(days, f"due {day(value)}")


@register.filter
def is_late(value: date | None) -> bool:
    return value is not None and value < timezone.localdate()


@register.filter
def usd(value) -> str:
    """ "$38,420": whole dollars, a minus before the sign."""
    if value is None or value == "":
        return ""
    sign = "−" if value < 0 else ""
    return f"{sign}${abs(value):,.0f}"


@register.filter
def cents(value) -> str:
    """ "$38,420.00": money to be paid, to the cent."""
    return "" if value is None or value == "" else amount_words(value)


_SYMBOLS = {
    "closed": '<path d="M1 8H7M7 8h8M15 8h6M7 2v12M15 2v12"/>',
    "open": '<path d="M1 8h6l7-6M15 8h6M7 2v12M15 2v12"/>',
    "waived": '<path d="M1 8h6M15 8h6M7 2v12M15 2v12M7 8c1-6 7-6 8 0"/>',
    "dotted": '<path d="M1 8h6M15 8h6" stroke-dasharray="1.5 3"/><path d="M7 8l7-6M7 2v12M15 2v12"/>',
}
SYMBOL_OF = {"met": "closed", "waived": "waived", "open": "open", "waiting": "dotted"}


@register.simple_tag
def gate_symbol(state: str) -> SafeString:
    """The breaker beside a requirement: closed, open, jumped over (waived) or not reached yet."""
    name = SYMBOL_OF.get(state, state)
    colour = "#a83f16" if name == "open" else "#1d2733"
    return format_html(
        '<svg viewBox="0 0 22 16" width="30" height="22" fill="none" stroke="{}" stroke-width="2" '
        'stroke-linecap="round" aria-hidden="true">{}</svg>',
        colour,
        mark_safe(_SYMBOLS[name]),
    )


@register.filter
def task_words(requirement) -> str:
    """What to do about an open requirement: "Put the placards and labels on"."""
    return task(requirement.key, requirement.sentence)


@register.filter
def next_task(job) -> str:
    """The same for the next step that is cached on a job."""
    return task(job.next_key, job.next_step)
