"""Widgets of our own: choices as large dots and boxes, drawn one by one by the field template."""

from __future__ import annotations

from typing import Any

from django import forms


class ChoiceDots(forms.RadioSelect):
    """One of a few, all in sight."""


class ChoiceBoxes(forms.CheckboxSelectMultiple):
    """Any of a few, all in sight."""


class DateInput(forms.DateInput):
    """The browser's own calendar; the wire format is ISO, whatever the reader's language."""

    input_type = "date"

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__(attrs=attrs, format="%Y-%m-%d")
