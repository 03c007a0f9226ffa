"""Forms of the calendar: a day for an appointment, a crew, a crew's day off."""

from __future__ import annotations

from typing import Any

from django import forms

from projects.models import Appointment, Crew, Person, Role
from projects.screens.office.forms_base import DayField, hour, words
from projects.screens.plain_form import PlainForm
from projects.screens.widgets import ChoiceBoxes

WEEKDAYS = [("1", "Mon"), ("2", "Tue"), ("3", "Wed"), ("4", "Thu"), ("5", "Fri"), ("6", "Sat"), ("7", "Sun")]
NO_NAMES = "Kept in the journal for good: no names of people."


class AppointmentForm(PlainForm):
    on = DayField("Day", ahead=True)
    crew = forms.ModelChoiceField(Crew.objects.none(), required=False, empty_label="Nobody yet")
    starts_at = hour()
    days = forms.IntegerField(
        label="Working days",
        initial=1,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={"invalid": "A whole number of days.", "required": "Say how many days."},
    )
    reason = words("Why it moves", rows=2, most=500, help_text=NO_NAMES)
    despite = forms.BooleanField(label="Go on in spite of what speaks against it", required=False)

    def __init__(self, *args: Any, kind: str, moves: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["crew"].queryset = Crew.objects.filter(active=True)
        if kind != Appointment.Kind.INSTALLATION:
            del self.fields["days"]
        if not moves:
            del self.fields["reason"]


class CancelForm(PlainForm):
    reason = words("Why it is called off", required=True, rows=2, most=500, help_text=NO_NAMES)


class CrewForm(PlainForm):
    name = forms.CharField(max_length=40, error_messages={"required": "Give the crew a name."})
    jobs_per_day = forms.IntegerField(
        label="Visits and inspections in a day",
        initial=2,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        help_text="An installation takes the whole day.",
    )
    working_days = forms.MultipleChoiceField(
        label="Works on", choices=WEEKDAYS, widget=ChoiceBoxes, initial=list("12345"), required=False
    )
    members = forms.ModelMultipleChoiceField(
        Person.objects.none(), label="Who belongs to it", widget=ChoiceBoxes, required=False
    )
    active = forms.BooleanField(label="Goes out", required=False, initial=True)

    def __init__(self, *args: Any, row: Crew | None = None, **kwargs: Any) -> None:
        if row is not None:
            kwargs["initial"] = {
                "name": row.name,
                "jobs_per_day": row.jobs_per_day,
                "working_days": list(row.working_days),
                "members": sorted(person.pk for person in row.members.all()),
                "active": row.active,
            }
        super().__init__(*args, label_suffix="", **kwargs)
        field = self.fields["members"]
        assert isinstance(field, forms.ModelMultipleChoiceField)
        field.queryset = Person.objects.filter(is_active=True).exclude(role=Role.LICENCE_HOLDER).order_by("first_name")
        field.label_from_instance = lambda person: person.name

    def clean_working_days(self) -> str:
        return "".join(sorted(self.cleaned_data["working_days"]))


class DayOffForm(PlainForm):
    on = DayField("Day off", ahead=True)
    reason = forms.CharField(label="Why", max_length=80, required=False)
