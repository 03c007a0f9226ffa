"""A weather file for the shelf, why one leaves it, and the weather that a site is studied with."""

from __future__ import annotations

from typing import Any

from django import forms

from projects.models import SiteWeather, WeatherFile
from projects.screens.fields import NumberField
from projects.screens.office.forms_loads import MONTHS
from projects.screens.plain_form import PlainForm
from projects.screens.widgets import ChoiceDots

MEANS = (("ghi", "Sun on level ground", 0, 12), ("temp", "Mean air temperature", -60, 50))


class WeatherFileForm(PlainForm):
    upload = forms.FileField(
        label="Typical-year file",
        help_text="TMY2 (.tm2), TMY3 (.csv) or EPW (.epw). Hours, units, gaps and the sun at mid-hour are checked.",
        widget=forms.FileInput(attrs={"accept": ".tm2,.csv,.epw"}),
        error_messages={"required": "Choose a file.", "empty": "The file is empty."},
    )
    source = forms.CharField(
        label="Where it comes from",
        max_length=160,
        help_text="Who publishes it, which edition, when it was fetched",
        error_messages={"required": "Say where the file comes from."},
    )


class RetireForm(PlainForm):
    reason = forms.CharField(
        label="Why it is no longer used",
        max_length=200,
        error_messages={"required": "Say why it is no longer used."},
    )


class SiteWeatherForm(PlainForm):
    choice = forms.ChoiceField(
        label="The study takes", choices=SiteWeather.Choice.choices, widget=ChoiceDots, initial="nearest"
    )
    file = forms.ModelChoiceField(
        label="The file, where one is chosen on purpose",
        queryset=WeatherFile.objects.filter(retired_at=None),
        required=False,
        empty_label="None",
    )
    means_source = forms.CharField(
        label="Where the means come from", max_length=160, required=False, help_text="A table, an atlas, a measurement"
    )

    def __init__(self, *args: Any, row: SiteWeather | None = None, **kwargs: Any) -> None:
        if row is not None:
            kwargs["initial"] = {
                "choice": row.choice,
                "file": row.file_id,
                "means_source": row.means_source,
                **{f"ghi_{n}": value for n, value in enumerate(row.ghi_kwh_per_m2_day, 1)},
                **{f"temp_{n}": value for n, value in enumerate(row.temp_air_c, 1)},
            }
        super().__init__(*args, **kwargs)
        for key, label, low, high in MEANS:
            for n, month in enumerate(MONTHS, 1):
                self.fields[f"{key}_{n}"] = NumberField(
                    label=f"{label}, {month}", required=False, min_value=low, max_value=high
                )

    @property
    def months(self) -> list[tuple[str, forms.BoundField, forms.BoundField]]:
        return [(month, self[f"ghi_{n}"], self[f"temp_{n}"]) for n, month in enumerate(MONTHS, 1)]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("choice") == SiteWeather.Choice.FILE and not cleaned.get("file"):
            self.add_error("file", "Choose the file.")
        if cleaned.get("choice") == SiteWeather.Choice.MEANS:
            for name in [f"{key}_{n}" for key, *_ in MEANS for n in range(1, 13)]:
                if cleaned.get(name) is None and name not in self.errors:
                    self.add_error(name, "Missing")
            if not cleaned.get("means_source"):
                self.add_error("means_source", "Say where the means come from.")
        return cleaned

    def chosen(self) -> dict[str, Any]:
        """Keyword arguments of ``choose_weather`` (job and actor aside)."""
        cleaned = self.cleaned_data
        found = {"choice": cleaned["choice"], "file": cleaned["file"], "means_source": cleaned["means_source"]}
        if cleaned["choice"] == SiteWeather.Choice.MEANS:
            found["ghi_kwh_per_m2_day"] = [cleaned[f"ghi_{n}"] for n in range(1, 13)]
            found["temp_air_c"] = [cleaned[f"temp_{n}"] for n in range(1, 13)]
        return found
