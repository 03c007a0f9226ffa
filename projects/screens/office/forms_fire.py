"""What the fire code asks to know of the house, and areas as people say them."""

from __future__ import annotations

import re
from typing import Any

from django import forms

from projects.actions.fire_access import LEAST_M2, MOST_M2
from projects.models import Site
from projects.screens.fields import LengthField, MeasuredForm
from projects.screens.measures import FEET, METRES, METRES_PER_FOOT

_AREA = re.compile(r"^(\d+(?:\.\d+)?)\s*(sq\.? ?ft|ft2|ft²|square feet|sq\.? ?m|m2|m²|square met(?:er|re)s)?$")


class AreaField(LengthField):
    """An area; a bare number is of the unit's square."""

    def parse(self, text: str) -> float:
        said = _AREA.match(re.sub(r"\s+", " ", text.strip().lower()).replace(",", ""))
        if said is None:
            raise ValueError("Write an area such as 2,100 sq ft or 195 m².")
        feet = self.unit == FEET if said[2] is None else "f" in said[2]
        return float(said[1]) * (METRES_PER_FOOT**2 if feet else 1.0)

    def show(self, value: float | None) -> str:
        if value is None:
            return ""
        return f"{value:,.1f} m²" if self.unit == METRES else f"{value / METRES_PER_FOOT**2:,.0f} sq ft"


class FireAccessForm(MeasuredForm):
    sprinklered = forms.BooleanField(
        label="Fire sprinklers throughout the house",
        required=False,
        help_text="In every room, also attic and garage where the code asks for them",
    )
    detached_nonhabitable = forms.BooleanField(
        label="These planes are of a detached building that nobody lives in", required=False
    )
    roof_plan_area_m2 = AreaField(
        label="Whole roof, seen from above",
        required=False,
        least=LEAST_M2,
        most=MOST_M2,
        help_text="With the slopes that carry nothing; left empty: only the planes listed here count",
    )

    @staticmethod
    def initial_from(site: Site) -> dict[str, Any]:
        return {
            "sprinklered": site.sprinklered,
            "detached_nonhabitable": site.detached_nonhabitable,
            "roof_plan_area_m2": site.roof_plan_area_m2,
        }
