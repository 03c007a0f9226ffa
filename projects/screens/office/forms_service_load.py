"""Nameplates of a dwelling for its service load."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from projects.screens.fields import NumberField
from projects.screens.plain_form import PlainForm

MOST_LINES = 40
MOST_VA = 100_000.0


def _va(label: str, help_text: str = "") -> NumberField:
    return NumberField(label=label, required=False, min_value=0, max_value=MOST_VA, help_text=help_text)


class ServiceLoadForm(PlainForm):
    floor_area_ft2 = NumberField(
        label="Floor area", min_value=100, max_value=20_000, help_text="Outside dimensions, without porch and garage"
    )
    small_appliance_circuits = forms.IntegerField(
        label="Small-appliance circuits", min_value=2, max_value=10, initial=2
    )
    laundry_circuits = forms.IntegerField(label="Laundry circuits", min_value=0, max_value=4, initial=1)
    range_va = _va("Electric range", "Nameplate; empty without one")
    dryer_va = _va("Electric dryer", "Nameplate; empty without one")
    heat_va = _va("Electric heat")
    heat_units = forms.IntegerField(
        label="Heaters with a thermostat of their own", min_value=1, max_value=40, initial=1
    )
    heat_pump_va = _va("Compressor of a heat pump", "Where electric heat may run beside it")
    cooling_va = _va("Cooling")
    fixed = forms.CharField(
        label="Fastened in place, one a line",
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 6, "placeholder": "Water heater 4500\nDishwasher 1200"}),
        help_text="Name and volt-amperes: water heater, dishwasher, disposal, well pump",
    )

    UNITS = {
        "floor_area_ft2": "sq ft",
        **dict.fromkeys(("range_va", "dryer_va", "heat_va", "heat_pump_va", "cooling_va"), "VA"),
    }

    def rows(self) -> list[tuple[forms.BoundField, str]]:
        return [(self[name], self.UNITS.get(name, "")) for name in self.fields]

    def clean_fixed(self) -> tuple[float, ...]:
        """Volt-amperes of each line; every line that can't be read is named."""
        lines = [line.strip() for line in self.cleaned_data["fixed"].splitlines() if line.strip()]
        if len(lines) > MOST_LINES:
            raise ValidationError(f"At most {MOST_LINES} lines.")
        found, problems = [], []
        for number, line in enumerate(lines, start=1):
            match = re.search(r"(\d[\d,]*(?:\.\d+)?)\s*(?:VA|W)?$", line, re.IGNORECASE)
            va = float(match[1].replace(",", "")) if match else None
            if va is None or not 0 < va <= MOST_VA:
                problems.append(
                    f"Line {number}, “{line[:40]}”: end it with its volt-amperes, such as Water heater 4500."
                )
            else:
                found.append(va)
        if problems:
            raise ValidationError(problems)
        return tuple(found)

    def dwelling(self) -> dict[str, Any]:
        said = self.cleaned_data
        fixed = {"fixed_va": said["fixed"]}
        return {name: said[name] or 0 for name in self.fields if name != "fixed"} | fixed
