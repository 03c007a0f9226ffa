"""The office's registers: jurisdictions, utilities, people and licences; the catalogue's forms stand beside them.

Plain forms with the models' fields: the action compares with what is stored, so the row itself stays untouched here.
"""

from __future__ import annotations

from itertools import count
from typing import Any

from django import forms
from django.utils.text import slugify

from projects.actions.packet_list import PARTS
from projects.models import (
    Insurance,
    Jurisdiction,
    Licence,
    OfficeProfile,
    Person,
    Role,
    Utility,
)
from projects.screens.office.forms_base import DayField
from projects.screens.office.forms_catalogue import BatteryForm, GeneratorForm, InverterForm, ModuleForm
from projects.screens.office.forms_register import RegisterForm
from projects.screens.plain_form import PlainForm


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
        self.fields["username"].help_text = "Empty for a licence holder: one is made up, for nobody signs in with it."
        self.fields["username"].required = False
        self.fields["is_active"].help_text = "Off: nothing this person did is lost, but the sign-in ends."
        if "is_active" not in self.initial:
            self.initial["is_active"] = True
        self.initial.pop("password", None)
        if not may_name_owner:
            role = self.fields["role"]
            role.choices = [choice for choice in role.choices if choice[0] != Role.OWNER]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if not cleaned.get("username") and "username" not in self.errors:
            if cleaned.get("role") == Role.LICENCE_HOLDER:
                cleaned["username"] = self._made_up(cleaned)
            else:
                self.add_error("username", "A sign-in name is needed.")
        return cleaned

    @staticmethod
    def _made_up(said: dict[str, Any]) -> str:
        wanted = slugify(f"{said.get('first_name', '')} {said.get('last_name', '')}")[:60] or "licence-holder"
        names = (wanted if number == 1 else f"{wanted}-{number}" for number in count(1))
        return next(name for name in names if not Person.objects.filter(username__iexact=name).exists())


class LicenceForm(RegisterForm):
    model = Licence
    groups = (("Licence", ("holder", "trade", "number", "classification", "state", "valid_from", "expires_on")),)
    labels = {"holder": "Held by", "valid_from": "Valid from", "expires_on": "Valid to"}
    helps = {"holder": "Not on the list: add them under People first, as a licence holder."}

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


class FirmForm(RegisterForm):
    model = OfficeProfile
    groups = (
        ("The firm", ("name", "street", "city", "state", "zip_code", "phone", "email", "licence_line")),
        ("What it promises", ("workmanship_years",)),
    )
    labels = {"licence_line": "Licence line, as the state wants it on paper"}


class ClosureForm(PlainForm):
    on = DayField("Closed on", ahead=True)
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
