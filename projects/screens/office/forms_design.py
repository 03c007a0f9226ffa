"""The engineered system on one form: equipment, modules on each plane, strings, connection, runs, loan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from django import forms

from projects.actions.storage_places import PLACES
from projects.models import (
    BatteryModel,
    Design,
    GeneratorModel,
    InverterModel,
    ModuleModel,
    RoofPlane,
)
from projects.screens.fields import LengthField, MeasuredForm, NumberField
from projects.screens.widgets import ChoiceDots

DIGITS = {"inputmode": "numeric"}
LEAST_STRING_ROWS = 3
STRING_KEYS = ("modules_in_series", "strings", "mppt")


def _whole(
    label: str, *, least: int, most: int, required: bool = True, initial: int | None = None
) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        required=required,
        initial=initial,
        widget=forms.TextInput(attrs=DIGITS),
    )


class DesignForm(MeasuredForm):
    module = forms.ModelChoiceField(label="Module", queryset=ModuleModel.objects.none(), empty_label="Choose")
    inverter = forms.ModelChoiceField(label="Inverter", queryset=InverterModel.objects.none(), empty_label="Choose")
    inverter_count = _whole("How many inverters", least=1, most=50, initial=1)
    battery = forms.ModelChoiceField(
        label="Battery",
        queryset=BatteryModel.objects.none(),
        required=False,
        empty_label="No battery",
        help_text="One with an inverter of its own carries an outage; any PV inverter can follow it",
    )
    battery_count = _whole("How many batteries", least=0, most=50, required=False, initial=0)
    location = forms.ChoiceField(
        label="The battery stands",
        required=False,
        choices=[("", "Not decided yet"), *PLACES.items()],
        help_text="Until then reckoned as in an attached garage",
    )
    unit_gap_m = LengthField(
        label="Free space between units", required=False, least=0, most=30, help_text="3 ft, unless tested for less"
    )
    opening_gap_m = LengthField(
        label="To the nearest door or window",
        required=False,
        least=0,
        most=30,
        help_text="Outside: 3 ft to one into the dwelling",
    )
    vehicle_guarded = forms.ChoiceField(
        label="Can a vehicle hit it",
        required=False,
        choices=[("", "Not looked at"), ("yes", "No: out of the path, or a barrier"), ("no", "Yes: no barrier yet")],
    )
    fire_tested_close = forms.BooleanField(
        label="Its large-scale fire test (UL 9540A) allows less between units", required=False
    )
    generator = forms.ModelChoiceField(
        label="Generator", queryset=GeneratorModel.objects.none(), required=False, empty_label="No generator"
    )
    connection = forms.ChoiceField(
        label="Point of connection", choices=Design._meta.get_field("connection").choices or [], widget=ChoiceDots
    )
    dc_run_m = LengthField(label="DC run, one way", least=0.5, most=300, initial=20.0)
    ac_run_m = LengthField(label="AC run, one way", least=0.5, most=300, initial=10.0)
    loan_rate_pct = NumberField(label="Loan, a year", min_value=0, max_value=40, initial=7.5)
    loan_months = _whole("Loan, months", least=12, most=480, initial=180)

    def __init__(self, *args: Any, planes: Sequence[RoofPlane], design: Design | None, **kwargs: Any) -> None:
        self.planes = list(planes)
        kwargs["initial"] = self._initial(design) | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)
        self._catalogue(design)
        if self.data.get("location") if self.is_bound else self.initial.get("location"):
            self.fields["location"].help_text = ""
        for plane in self.planes:
            self.fields[self.plane_name(plane)] = _whole(f"Modules on {plane.name}", least=0, most=500, required=False)
        names = [(plane.name, plane.name) for plane in self.planes]
        self.string_rows = max(LEAST_STRING_ROWS, (len(design.strings) if design else 0) + 1, self._posted_rows())
        for row in range(self.string_rows):
            label = f"String line {row + 1}"
            self.fields[f"string_{row}_plane"] = forms.ChoiceField(
                label=f"{label}: plane", choices=[("", "None"), *names], required=False
            )
            self.fields[f"string_{row}_modules_in_series"] = _whole(
                f"{label}: modules in series", least=1, most=60, required=False
            )
            self.fields[f"string_{row}_strings"] = _whole(f"{label}: strings", least=1, most=60, required=False)
            self.fields[f"string_{row}_mppt"] = _whole(f"{label}: input", least=1, most=60, required=False)

    def _posted_rows(self) -> int:
        posted = [name for name in self.data if name.startswith("string_") and name.endswith("_plane")]
        return min(len(posted), 40)

    @staticmethod
    def plane_name(plane: RoofPlane) -> str:
        return f"modules_{plane.pk}"

    def _initial(self, design: Design | None) -> dict[str, Any]:
        if design is None:
            return {"connection": "busbar_opposite_end"}
        initial: dict[str, Any] = {
            "module": design.module_id,
            "inverter": design.inverter_id,
            "inverter_count": design.inverter_count,
            "battery": design.battery_id,
            "battery_count": design.battery_count,
            "generator": design.generator_id,
            "connection": design.connection,
            "dc_run_m": design.dc_run_m,
            "ac_run_m": design.ac_run_m,
            "loan_rate_pct": float(design.loan_rate_per_year * 100),
            "loan_months": design.loan_months,
            **_place(design.storage),
        }
        placed = {line["plane"]: line["modules"] for line in design.plane_modules}
        known = {plane.name for plane in self.planes}
        initial |= {self.plane_name(plane): placed.get(plane.name) for plane in self.planes}
        for row, line in enumerate(line for line in design.strings if line["plane"] in known):
            initial |= {f"string_{row}_{key}": line[key] for key in ("plane", *STRING_KEYS)}
        return initial

    def _catalogue(self, design: Design | None) -> None:
        """What is offered, and whatever the design stands on already."""
        for name, model in (
            ("module", ModuleModel),
            ("inverter", InverterModel),
            ("battery", BatteryModel),
            ("generator", GeneratorModel),
        ):
            rows = model._default_manager.filter(active=True)
            kept = getattr(design, f"{name}_id", None) if design else None
            if kept:
                rows = rows | model._default_manager.filter(pk=kept)
            field = self.fields[name]
            assert isinstance(field, forms.ModelChoiceField)
            field.queryset = rows
            field.label_from_instance = _in_catalogue  # type: ignore[method-assign]
        if design and design.battery and design.battery.coupling == BatteryModel.Coupling.AC:
            self.fields["battery"].help_text = _carries(design.battery, design.battery_count)

    @property
    def plane_fields(self) -> list[tuple[RoofPlane, forms.BoundField]]:
        return [(plane, self[self.plane_name(plane)]) for plane in self.planes]

    @property
    def string_fields(self) -> list[list[forms.BoundField]]:
        return [[self[f"string_{row}_{key}"] for key in ("plane", *STRING_KEYS)] for row in range(self.string_rows)]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for row in range(self.string_rows):
            given = {key: cleaned.get(f"string_{row}_{key}") for key in ("plane", *STRING_KEYS)}
            started = [key for key, value in given.items() if value not in (None, "")]
            if started and len(started) < 4:
                for key, value in given.items():
                    name = f"string_{row}_{key}"
                    if value in (None, "") and name not in self.errors:
                        self.add_error(name, "Missing")
        return cleaned

    def _storage(self) -> dict[str, Any]:
        """The battery's place, as far as it is known; nothing without a battery."""
        cleaned = self.cleaned_data
        if not cleaned.get("battery"):
            return {}
        found = {name: cleaned.get(name) for name in ("location", "unit_gap_m", "opening_gap_m")}
        if cleaned.get("fire_tested_close"):
            found["fire_tested_close"] = True
        if cleaned.get("vehicle_guarded"):
            found["vehicle_guarded"] = cleaned["vehicle_guarded"] == "yes"
        return {name: value for name, value in found.items() if value not in (None, "")}

    def cleaned_design(self) -> dict[str, Any]:
        """Keyword arguments of ``save_design`` (job and actor aside)."""
        cleaned = self.cleaned_data
        plane_modules = [
            {"plane": plane.name, "modules": cleaned[self.plane_name(plane)]}
            for plane in self.planes
            if cleaned.get(self.plane_name(plane))
        ]
        strings = []
        for row in range(self.string_rows):
            if cleaned.get(f"string_{row}_plane"):
                strings.append({key: cleaned[f"string_{row}_{key}"] for key in ("plane", *STRING_KEYS)})
        return {
            **{
                name: cleaned[name]
                for name in (
                    "module",
                    "inverter",
                    "inverter_count",
                    "battery",
                    "generator",
                    "connection",
                    "dc_run_m",
                    "ac_run_m",
                    "loan_months",
                )
            },
            "battery_count": cleaned.get("battery_count") or 0,
            "storage": self._storage(),
            "plane_modules": plane_modules,
            "strings": strings,
            "loan_rate_per_year": Decimal(str(round(cleaned["loan_rate_pct"], 4))) / 100,
        }


def _place(storage: Mapping[str, Any]) -> dict[str, Any]:
    """As the form shows it."""
    guarded = storage.get("vehicle_guarded")
    return {**storage, "vehicle_guarded": "" if guarded is None else "yes" if guarded else "no"}


def _carries(battery: BatteryModel, units: int) -> str:
    """What inverters of its own give in an outage, as the study checks the loads and the largest start against it."""
    carries, surge = battery.max_discharge_kw * units, (battery.surge_kw or 0.0) * units
    lasts = f" for {battery.surge_s:g} s" if battery.surge_s else ""
    starts = f", start motors with {surge:.1f} kW{lasts}" if surge else "; no surge rating is stated"
    return f"All with their own inverters carry {carries:.1f} kW in an outage{starts}"


def _in_catalogue(row: Any) -> str:
    """A line of the catalogue with the figure one chooses by."""
    if isinstance(row, ModuleModel):
        return f"{row.name} ({row.power_w:.0f} W)"
    if isinstance(row, InverterModel):
        return f"{row.name} ({row.get_kind_display().lower()}, {row.ac_power_w / 1000:.1f} kW)"
    if isinstance(row, BatteryModel):
        own = ", inverter of its own" if row.coupling == BatteryModel.Coupling.AC else ""
        return f"{row.name} ({row.usable_kwh:.1f} kWh{own})"
    return f"{row.name} ({row.power_w / 1000:.1f} kW)"
