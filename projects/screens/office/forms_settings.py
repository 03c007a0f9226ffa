"""The office's registers: jurisdictions, utilities, people, licences and the catalogue of equipment.

Plain forms with the models' fields: the action compares with what is stored, so the row itself stays untouched here.
"""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import models
from django.forms.models import fields_for_model, model_to_dict

from projects.actions.packet_list import PARTS
from projects.models import (
    BatteryModel,
    GeneratorModel,
    Insurance,
    InverterModel,
    Jurisdiction,
    Licence,
    ModuleModel,
    OfficeProfile,
    Person,
    Role,
    Utility,
)
from projects.screens.fields import NumberField
from projects.screens.plain_form import PlainForm
from projects.screens.widgets import DateInput


def _field(db_field: models.Field, **kwargs: Any) -> forms.Field | None:
    kwargs.pop("widget", None)
    if isinstance(db_field, models.FloatField):
        wanted = {key: kwargs[key] for key in ("label", "help_text") if key in kwargs}
        wanted.setdefault("label", db_field.verbose_name.capitalize())
        if db_field.has_default():
            wanted["initial"] = db_field.get_default()
        return NumberField(required=not db_field.blank, **wanted)
    if isinstance(db_field, models.DateField):
        return db_field.formfield(widget=DateInput(), **kwargs)
    field = db_field.formfield(**kwargs)
    if isinstance(field, forms.IntegerField | forms.DecimalField):
        field.widget = forms.TextInput(attrs={"inputmode": "decimal"})
    if isinstance(field, forms.CharField) and isinstance(field.widget, forms.Textarea):
        field.widget.attrs["rows"] = 3
    return field


class RegisterForm(PlainForm):
    """Subclasses name a model, its fields in groups (title, names) and plain labels."""

    model: type[models.Model]
    groups: tuple[tuple[str, tuple[str, ...]], ...]
    labels: dict[str, str] = {}
    units: dict[str, str] = {}
    helps: dict[str, str] = {}

    def __init__(self, *args: Any, row: models.Model | None = None, **kwargs: Any) -> None:
        if row is not None:
            kwargs["initial"] = model_to_dict(row) | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)
        names = [name for _, group in self.groups for name in group]
        built = fields_for_model(
            self.model, fields=names, formfield_callback=_field, labels=self.labels, help_texts=self.helps
        )
        for name in names:
            if name in built and name not in self.fields:
                self.fields[name] = built[name]

    def grouped(self) -> list[tuple[str, list[tuple[forms.BoundField, str, str]]]]:
        """(title, [(field, unit, span)]) for the template."""
        return [
            (title, [(self[name], self.units.get(name, ""), self._span(name)) for name in names if name in self.fields])
            for title, names in self.groups
        ]

    def _span(self, name: str) -> str:
        widget = self.fields[name].widget
        if isinstance(widget, forms.Textarea):
            return "s12"
        return "s6" if name in ("name", "off_grid_exemption_rule", "street", "email") else "s3"


class JurisdictionForm(RegisterForm):
    model = Jurisdiction
    groups = (
        ("Name and counter", ("name", "state", "phone", "email", "counter_note", "packet_list")),
        (
            "What it asks for",
            (
                "combined_permit",
                "fire_review",
                "structural_letter",
                "rough_in_inspection",
                "asks_insurance",
                "off_grid_exempt",
                "off_grid_exemption_rule",
            ),
        ),
        (
            "How long it takes",
            (
                "building_review_days",
                "electrical_review_days",
                "fire_review_days",
                "answer_days",
                "inspection_notice_days",
                "permit_valid_days",
            ),
        ),
        (
            "Fees",
            (
                *("building_fee_usd", "building_fee_per_kw_usd", "building_fee_per_thousand_usd"),
                *("electrical_fee_usd", "electrical_fee_per_kw_usd", "electrical_fee_per_thousand_usd"),
                "fire_fee_usd",
            ),
        ),
        (
            "Code and weather for design",
            (
                "code_edition",
                "access_edition",
                "hip_valley_setback_in",
                "record_low_c",
                "high_2pct_c",
                "wind_speed_mph",
                "ground_snow_psf",
                "roof_gcp",
            ),
        ),
    )
    labels = {
        "counter_note": "How and where to submit, opening hours",
        "packet_list": "Its own list for a permit packet",
        "combined_permit": "One combined permit in place of building and electrical",
        "fire_review": "Fire review too",
        "structural_letter": "Stamped structural letter",
        "rough_in_inspection": "Rough-in inspection",
        "off_grid_exempt": "Off-grid systems need no permit",
        "off_grid_exemption_rule": "By which local rule",
        "building_review_days": "Building plan review",
        "electrical_review_days": "Electrical plan review",
        "fire_review_days": "Fire review",
        "answer_days": "Our answer to corrections",
        "inspection_notice_days": "Notice for an inspection",
        "permit_valid_days": "A permit is valid for",
        "asks_insurance": "Liability insurance with every permit",
        "building_fee_usd": "Building permit, flat",
        "building_fee_per_kw_usd": "Building permit, a kW",
        "building_fee_per_thousand_usd": "Building permit, per $1,000 of price",
        "electrical_fee_usd": "Electrical permit, flat",
        "electrical_fee_per_kw_usd": "Electrical permit, a kW",
        "electrical_fee_per_thousand_usd": "Electrical permit, per $1,000 of price",
        "fire_fee_usd": "Fire review, flat",
        "code_edition": "NEC edition",
        "record_low_c": "Record low",
        "high_2pct_c": "2 % summer high",
        "wind_speed_mph": "Wind speed",
        "ground_snow_psf": "Ground snow",
        "roof_gcp": "Roof pressure coefficient, GCp",
        "access_edition": "Fire code edition",
        "hip_valley_setback_in": "Its own free room beside hips and valleys",
    }
    units = {
        **dict.fromkeys(
            (
                "building_review_days",
                "electrical_review_days",
                "fire_review_days",
                "answer_days",
                "inspection_notice_days",
            ),
            "business days",
        ),
        "permit_valid_days": "days",
        **dict.fromkeys(
            (
                *("building_fee_usd", "building_fee_per_kw_usd", "building_fee_per_thousand_usd"),
                *("electrical_fee_usd", "electrical_fee_per_kw_usd", "electrical_fee_per_thousand_usd"),
                "fire_fee_usd",
            ),
            "$",
        ),
        "record_low_c": "°C",
        "high_2pct_c": "°C",
        "wind_speed_mph": "mph",
        "ground_snow_psf": "psf",
        "hip_valley_setback_in": "in",
    }
    helps = {
        "hip_valley_setback_in": "On each side; empty: as the edition has it, 18 in up to 2015 and none from 2018 on",
        "packet_list": f"One a line, as the counter calls it; after “=” the part that shows it ({', '.join(PARTS)}). "
        "Without “=”: to be attached.",
        "record_low_c": "Empty: the value of the weather station is used.",
        "roof_gcp": "Negative for uplift, of the zone that governs; empty: no structure sheet",
    }


class UtilityForm(RegisterForm):
    model = Utility
    groups = (
        ("Name", ("name", "phone", "email")),
        ("What it asks for", ("meter_swap", "meter_order", "witness_test")),
        ("Levels of the application", ("simplified_up_to_kw", "fast_track_up_to_kw")),
        (
            "How long it takes",
            (
                *("completeness_days", "review_days", "screens_days", "study_days"),
                *("answer_days", "meter_days", "permission_days"),
            ),
        ),
        (
            "Tariff",
            (
                "tariff_kind",
                "energy_usd_per_kwh",
                "export_usd_per_kwh",
                "fixed_usd_per_month",
                "minimum_usd_per_month",
                "tax_pct",
                "escalation_pct_per_year",
            ),
        ),
    )
    labels = {
        "meter_swap": "Sets a new meter",
        "meter_order": "We order the meter",
        "simplified_up_to_kw": "Simplified up to",
        "fast_track_up_to_kw": "Fast track up to",
        "completeness_days": "Says if it is complete",
        "screens_days": "Screens of the fast track",
        "study_days": "Study above that",
        "witness_test": "Witnesses a test",
        "review_days": "Review of the application",
        "answer_days": "Our answer to its requests",
        "meter_days": "Setting the meter",
        "permission_days": "Permission to operate",
        "tariff_kind": "What it does with exported energy",
        "energy_usd_per_kwh": "A kWh bought",
        "export_usd_per_kwh": "A kWh sent out",
        "fixed_usd_per_month": "Fixed, a month",
        "minimum_usd_per_month": "Least bill, a month",
        "tax_pct": "Tax on the bill",
        "escalation_pct_per_year": "Prices rise by",
    }
    units = {
        **dict.fromkeys(("simplified_up_to_kw", "fast_track_up_to_kw"), "kW AC"),
        **dict.fromkeys(
            (
                *("completeness_days", "review_days", "screens_days", "study_days"),
                *("answer_days", "meter_days", "permission_days"),
            ),
            "business days",
        ),
        **dict.fromkeys(
            ("energy_usd_per_kwh", "export_usd_per_kwh", "fixed_usd_per_month", "minimum_usd_per_month"), "$"
        ),
        "tax_pct": "%",
        "escalation_pct_per_year": "% a year",
    }


class PersonForm(RegisterForm):
    model = Person
    groups = (
        ("Who", ("first_name", "last_name", "phone", "email")),
        ("Sign-in", ("username", "role", "password", "is_active")),
    )
    labels = {"username": "Sign-in name", "is_active": "May sign in"}
    password = forms.CharField(
        label="New password",
        required=False,
        strip=False,
        max_length=128,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="At least ten characters; empty leaves it as it is.",
    )

    def __init__(self, *args: Any, may_name_owner: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].help_text = ""
        self.fields["is_active"].help_text = "Off: nothing this person did is lost, but the sign-in ends."
        if "is_active" not in self.initial:
            self.initial["is_active"] = True
        self.initial.pop("password", None)
        if not may_name_owner:
            role = self.fields["role"]
            role.choices = [choice for choice in role.choices if choice[0] != Role.OWNER]  # type: ignore[attr-defined]


class LicenceForm(RegisterForm):
    model = Licence
    groups = (("Licence", ("holder", "trade", "number", "classification", "state", "valid_from", "expires_on")),)
    labels = {"holder": "Held by", "valid_from": "Valid from", "expires_on": "Valid to"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        holder = self.fields["holder"]
        assert isinstance(holder, forms.ModelChoiceField)
        holder.queryset = Person.objects.order_by("last_name", "first_name")
        holder.label_from_instance = lambda person: person.name  # type: ignore[method-assign]


class InsuranceForm(RegisterForm):
    model = Insurance
    groups = (("Insurance", ("kind", "insurer", "number", "starts_on", "expires_on")),)
    labels = {"starts_on": "In force from", "expires_on": "In force to"}


class ModuleForm(RegisterForm):
    model = ModuleModel
    groups = (
        ("Module", ("name", "price_usd", "warranty_years", "active")),
        ("At standard test conditions", ("power_w", "voc_v", "isc_a", "vmp_v", "imp_a")),
        ("With temperature", ("temp_coeff_pmax_pct_per_c", "temp_coeff_voc_pct_per_c", "noct_c")),
        ("Body", ("length_m", "width_m", "weight_kg", "max_series_fuse_a")),
    )
    labels = {
        "active": "Offered in new designs",
        "price_usd": "Price",
        "warranty_years": "Warranty",
        "power_w": "Power",
        "voc_v": "Open-circuit voltage",
        "isc_a": "Short-circuit current",
        "vmp_v": "Voltage at full power",
        "imp_a": "Current at full power",
        "temp_coeff_pmax_pct_per_c": "Power",
        "temp_coeff_voc_pct_per_c": "Open-circuit voltage",
        "noct_c": "Nominal operating cell temperature",
        "length_m": "Length",
        "width_m": "Width",
        "weight_kg": "Weight",
        "max_series_fuse_a": "Largest series fuse",
    }
    units = {
        "price_usd": "$",
        "warranty_years": "years",
        "power_w": "W",
        "voc_v": "V",
        "isc_a": "A",
        "vmp_v": "V",
        "imp_a": "A",
        "temp_coeff_pmax_pct_per_c": "%/°C",
        "temp_coeff_voc_pct_per_c": "%/°C",
        "noct_c": "°C",
        "length_m": "m",
        "width_m": "m",
        "weight_kg": "kg",
        "max_series_fuse_a": "A",
    }


class InverterForm(RegisterForm):
    model = InverterModel
    groups = (
        ("Inverter", ("name", "kind", "price_usd", "warranty_years", "active")),
        ("AC side", ("ac_power_w", "ac_voltage_v", "efficiency", "standby_w")),
        (
            "DC side",
            (
                "max_dc_voltage_v",
                "mppt_min_v",
                "mppt_max_v",
                "mppt_inputs",
                "strings_per_mppt",
                "max_input_current_a",
                "max_short_circuit_a",
            ),
        ),
        ("On its own, with the grid down", ("backup_power_w", "surge_w", "surge_s")),
    )
    labels = {
        "active": "Offered in new designs",
        "price_usd": "Price",
        "warranty_years": "Warranty",
        "ac_power_w": "Rated power",
        "ac_voltage_v": "Voltage",
        "efficiency": "Weighted efficiency",
        "standby_w": "Standby use",
        "max_dc_voltage_v": "Highest DC voltage",
        "mppt_min_v": "MPPT range from",
        "mppt_max_v": "MPPT range to",
        "mppt_inputs": "MPPT inputs",
        "strings_per_mppt": "Strings per input",
        "max_input_current_a": "Usable current per input",
        "max_short_circuit_a": "Highest short-circuit current",
        "backup_power_w": "Continuous",
        "surge_w": "Surge",
        "surge_s": "Surge lasts",
    }
    units = {
        "price_usd": "$",
        "warranty_years": "years",
        "ac_power_w": "W",
        "ac_voltage_v": "V",
        "standby_w": "W",
        "max_dc_voltage_v": "V",
        "mppt_min_v": "V",
        "mppt_max_v": "V",
        "max_input_current_a": "A",
        "max_short_circuit_a": "A",
        "backup_power_w": "W",
        "surge_w": "W",
        "surge_s": "s",
    }
    helps = {"efficiency": "As a fraction: 0.97", "backup_power_w": "0 where it can’t form a grid"}


class BatteryForm(RegisterForm):
    model = BatteryModel
    groups = (
        ("Battery", ("name", "coupling", "price_usd", "warranty_years", "active", "listed_ul9540")),
        (
            "One unit",
            ("usable_kwh", "max_charge_kw", "max_discharge_kw", "round_trip_efficiency", "reserve_fraction"),
        ),
    )
    labels = {
        "active": "Offered in new designs",
        "price_usd": "Price",
        "warranty_years": "Warranty",
        "listed_ul9540": "Listed to UL 9540",
        "coupling": "Connects",
        "usable_kwh": "Usable energy",
        "max_charge_kw": "Charges at most at",
        "max_discharge_kw": "Discharges at most at",
        "round_trip_efficiency": "Round-trip efficiency",
        "reserve_fraction": "Kept back",
    }
    units = {
        "price_usd": "$",
        "warranty_years": "years",
        "usable_kwh": "kWh",
        "max_charge_kw": "kW",
        "max_discharge_kw": "kW",
    }
    helps = {"round_trip_efficiency": "As a fraction: 0.9", "reserve_fraction": "As a fraction: 0.1"}


class GeneratorForm(RegisterForm):
    model = GeneratorModel
    groups = (("Generator", ("name", "power_w", "price_usd", "warranty_years", "active")),)
    labels = {
        "active": "Offered in new designs",
        "price_usd": "Price",
        "power_w": "Power",
        "warranty_years": "Warranty",
    }
    units = {"power_w": "W", "price_usd": "$", "warranty_years": "years"}


class FirmForm(RegisterForm):
    model = OfficeProfile
    groups = (
        ("The firm", ("name", "street", "city", "state", "zip_code", "phone", "email", "licence_line")),
        ("What it promises", ("workmanship_years",)),
    )
    labels = {"licence_line": "Licence line, as the state wants it on paper"}


class ClosureForm(PlainForm):
    on = forms.DateField(label="Closed on", widget=DateInput())
    reason = forms.CharField(label="Why", required=False, max_length=80)


EQUIPMENT = {"modules": "module", "inverters": "inverter", "batteries": "battery", "generators": "generator"}
FORMS: dict[str, type[RegisterForm]] = {
    "jurisdictions": JurisdictionForm,
    "utilities": UtilityForm,
    "people": PersonForm,
    "licences": LicenceForm,
    "insurance": InsuranceForm,
    "modules": ModuleForm,
    "inverters": InverterForm,
    "batteries": BatteryForm,
    "generators": GeneratorForm,
}
ONE = {
    "jurisdictions": "jurisdiction",
    "utilities": "utility",
    "people": "person",
    "licences": "licence",
    "insurance": "insurance policy",
    "modules": "module",
    "inverters": "inverter",
    "batteries": "battery",
    "generators": "generator",
}
