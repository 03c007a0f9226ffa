"""The horizon as it is read off compass and clinometer: a bearing and a height on each line."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from projects.screens.fields import BearingField
from projects.screens.plain_form import PlainForm


class HorizonForm(PlainForm):
    points = forms.CharField(
        label="Bearing and height, one direction a line",
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 6, "placeholder": "90 4\nSE 11\n192 SSW 7.5"}),
        help_text="Degrees over the level, seen from the array: 90 4, SE 11 or 192° SSW 7.5°. Straight in between; "
        "empty: level all around",
    )

    def clean_points(self) -> list[tuple[float, float]]:
        """All lines, or every line that can't be read, by its number."""
        found, problems = [], []
        typed = [line.strip() for line in self.cleaned_data["points"].splitlines()]
        for number, line in enumerate((line for line in typed if line), start=1):
            try:
                found.append(_point(line))
            except ValueError as problem:
                problems.append(f"Line {number}, “{line[:40]}”: {problem}")
        if problems:
            raise ValidationError(problems)
        return found

    @staticmethod
    def initial_from(horizon: Sequence[dict[str, Any]]) -> dict[str, str]:
        return {"points": "\n".join(f"{p['bearing_deg']:g} {p['elevation_deg']:g}" for p in horizon)}


def _point(line: str) -> tuple[float, float]:
    """Raises ValueError with a sentence."""
    split = re.fullmatch(r"(.*\S)[\s,;:]+([\d.]+)\s*(?:°|deg|degrees)?", line)
    if split is None:
        raise ValueError("write a bearing and a height, such as 135 11.")
    bearing = BearingField().parse(split[1].rstrip(" ,;:"))
    try:
        height = float(split[2])
    except ValueError:
        raise ValueError(f"{split[2]} is no height in degrees.") from None
    if not math.isfinite(height):
        raise ValueError(f"{split[2]} is no height in degrees.")
    return bearing, height
