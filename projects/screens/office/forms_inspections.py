"""Facts of the inspections: booked, passed or not, corrections fixed."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import Http404

from projects.actions import inspections
from projects.actions.roles import FIELD
from projects.models import Inspection, InspectionCorrection, Job
from projects.screens.office.forms_base import DayField, FactForm, LinesField, own, reason_field, words

PASSED, CORRECTIONS = Inspection.Result.PASSED, Inspection.Result.CORRECTIONS


class BookInspectionForm(FactForm):
    """The subject is the kind of inspection."""

    fact = "inspection-booked"
    button = "Book it"

    on = DayField("Day of the inspection", ahead=True)

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        if subject not in Inspection.Kind.values:
            raise Http404
        return subject

    @property
    def title(self) -> str:
        return f"Book the {Inspection.Kind(self.subject).label.lower()}"

    @property
    def lead(self) -> str:
        days = self.job.jurisdiction.inspection_notice_days if self.job.jurisdiction else 0
        return f"{self.job.jurisdiction} asks for {days} business days' notice." if days else ""

    @property
    def said(self) -> str:
        return f"The {Inspection.Kind(self.subject).label.lower()} is booked for {self.cleaned_data['on']:%-d %B}."

    def record(self) -> None:
        inspections.book_inspection(job=self.job, kind=self.subject, actor=self.person, **self.cleaned_data)


class OneInspectionForm(FactForm):
    """The subject is an inspection of the job."""

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        return own(Inspection.objects.filter(job=job), subject)

    @property
    def name(self) -> str:
        return self.subject.get_kind_display().lower()


class InspectionResultForm(OneInspectionForm):
    fact = "inspection-result"
    button = "Record the result"

    result = forms.ChoiceField(
        label="What the inspector decided",
        choices=[(PASSED, "Passed"), (CORRECTIONS, "Corrections asked for")],
        widget=forms.RadioSelect,
        error_messages={"required": "Say whether it passed."},
    )
    on = DayField("Inspected on")
    corrections = LinesField(
        label="The inspector's corrections, one to a line",
        required=False,
        max_length=20000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="Only where corrections were asked for.",
    )
    inspector = forms.CharField(label="Inspector", max_length=80, required=False)

    @property
    def title(self) -> str:
        return f"Result of the {self.name}"

    @property
    def lead(self) -> str:
        return f"Booked for {self.subject.booked_for:%-d %B %Y}."

    @property
    def said(self) -> str:
        if self.cleaned_data["result"] == PASSED:
            return f"The {self.name} has passed."
        count = len(self.cleaned_data["corrections"])
        return f"The {self.name} asks for {count} correction{'s' if count != 1 else ''}."

    def record(self) -> None:
        inspections.record_inspection(inspection=self.subject, actor=self.person, **self.cleaned_data)


class CancelInspectionForm(OneInspectionForm):
    fact = "inspection-cancelled"
    button = "Cancel the booking"

    reason = reason_field("Why")

    @property
    def title(self) -> str:
        return f"Cancel the {self.name} of {self.subject.booked_for:%-d %B}"

    @property
    def said(self) -> str:
        return f"The {self.name} is cancelled."

    def record(self) -> None:
        inspections.cancel_inspection(inspection=self.subject, actor=self.person, **self.cleaned_data)


class FixCorrectionForm(FactForm):
    fact = "correction-fixed"
    roles = FIELD
    button = "Record it as fixed"

    on = DayField("Fixed on")
    note = words("What was done", rows=2)

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        return own(InspectionCorrection.objects.select_related("inspection__job").filter(inspection__job=job), subject)

    @property
    def title(self) -> str:
        return "The inspector's correction is fixed"

    @property
    def lead(self) -> str:
        return f"“{self.subject.text}”"

    @property
    def said(self) -> str:
        return "The correction is fixed."

    def record(self) -> None:
        inspections.fix_correction(correction=self.subject, actor=self.person, **self.cleaned_data)
