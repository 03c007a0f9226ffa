"""One line of the load worksheet."""

from __future__ import annotations

from typing import Any

from django import forms

from projects.models import LoadLine
from projects.screens.fields import NumberField
from projects.screens.plain_form import PlainForm
from projects.screens.widgets import ChoiceBoxes

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
KINDS = LoadLine._meta.get_field("kind").choices or []
CODE_LETTERS = "ABCDEFGHJKLMNPRSTU"
FIELDS = (
    "name",
    "kind",
    "watts",
    "hours_per_day",
    "count",
    "tier",
    "months",
    "voltage_v",
    "locked_rotor_a",
    "starting_w",
    "horsepower",
    "code_letter",
    "soft_starter",
)


class LoadForm(PlainForm):
    name = forms.CharField(label="What", max_length=60)
    kind = forms.ChoiceField(label="Kind of load", choices=KINDS, initial="steady")
    tier = forms.ChoiceField(label="In an outage", choices=LoadLine.Tier.choices, initial=LoadLine.Tier.MUST_RUN)
    count = forms.IntegerField(
        label="How many", min_value=1, max_value=99, initial=1, widget=forms.TextInput(attrs={"inputmode": "numeric"})
    )
    watts = NumberField(label="Running power of one", min_value=0, max_value=100_000)
    hours_per_day = NumberField(
        label="Hours a day", min_value=0, max_value=24, help_text="On a day when it runs, added up"
    )
    months = forms.TypedMultipleChoiceField(
        label="Runs only in",
        required=False,
        coerce=int,
        choices=list(enumerate(MONTHS, 1)),
        widget=ChoiceBoxes,
        help_text="None ticked: all year.",
    )
    voltage_v = forms.TypedChoiceField(
        label="Voltage", coerce=float, choices=((120.0, "120 V"), (240.0, "240 V")), initial=120.0
    )
    locked_rotor_a = NumberField(
        label="Locked-rotor current (LRA)",
        required=False,
        min_value=0,
        max_value=1000,
        help_text="From the nameplate: the best figure there is",
    )
    starting_w = NumberField(label="Starting power", required=False, min_value=0, max_value=300_000)
    horsepower = NumberField(label="Horsepower", required=False, min_value=0, max_value=100)
    code_letter = forms.CharField(
        label="Code letter", required=False, max_length=1, help_text="From the motor’s nameplate"
    )
    soft_starter = forms.BooleanField(label="Has a soft starter", required=False)

    @staticmethod
    def initial_from(line: LoadLine | None) -> dict[str, Any]:
        return {name: getattr(line, name) for name in FIELDS} if line else {}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        letter = cleaned["code_letter"] = cleaned.get("code_letter", "").upper()
        if letter and cleaned.get("horsepower") is None and "horsepower" not in self.errors:
            self.add_error("horsepower", "A code letter speaks of kVA per horsepower: the horsepower is needed too.")
        if letter and letter not in CODE_LETTERS:
            self.add_error("code_letter", "A letter from A to U; I, O and Q are not used, and V has no upper end.")
        return cleaned
