"""Lengths, pitches and bearings in templates, in the unit that the reader chose."""

from __future__ import annotations

from django import template

from projects.screens import measures
from projects.screens.fields import SpacingField

register = template.Library()
register.filter("pitch", measures.show_pitch)
register.filter("bearing", measures.show_bearing)
register.filter("length_in", measures.show_length)
register.filter("length_about", measures.about_length)


@register.filter
def spacing_in(value: float | None, unit: str) -> str:
    field = SpacingField()
    field.unit = unit
    return field.show(value)
