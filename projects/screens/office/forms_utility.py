"""Facts of the interconnection, from the application to permission to operate."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms

from projects.actions import interconnection
from projects.models import Interconnection, Job, UtilityRequest
from projects.route.requirements.interconnection import LEVELS
from projects.screens.office.forms_base import DayField, FactForm, own, words


class UtilityForm(FactForm):
    @property
    def utility(self) -> str:
        return str(self.job.utility) if self.job.utility else "the utility"


class UtilityStepForm(UtilityForm):
    """A step that is nothing but a day; its sentence says what became true."""

    sentence: ClassVar[str]
    action: ClassVar[str]

    on = DayField("On which day")

    @property
    def title(self) -> str:
        return self.sentence.format(utility=self.utility)

    @property
    def said(self) -> str:
        return f"{self.title[0].upper()}{self.title[1:]}."

    def record(self) -> None:
        getattr(interconnection, self.action)(job=self.job, actor=self.person, **self.cleaned_data)


class ApplicationForm(UtilityStepForm):
    fact = "application"
    sentence = "The interconnection application is with {utility}"
    action = "submit_application"

    on = DayField("Sent on")
    number = forms.CharField(label="Application number", max_length=60, required=False)


class ReviseApplicationForm(UtilityStepForm):
    fact = "application-revised"
    sentence = "{utility} is told of the changed design"
    action = "revise_application"

    on = DayField("Told on")


class CompleteForm(UtilityStepForm):
    fact = "application-complete"
    sentence = "{utility} has found the application complete"
    action = "record_complete"


class QueueForm(UtilityStepForm):
    fact = "utility-queue"
    sentence = "Place in the queue of {utility}"
    action = "record_queue"
    field_order = ("position", "on")

    position = forms.IntegerField(label="Number in the queue", min_value=1, max_value=100_000)
    on = DayField("As told on")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        row = Interconnection.objects.filter(job=self.job).first()
        self.fields["position"].initial = row.queue_position if row else None

    @property
    def said(self) -> str:
        return f"Number {self.cleaned_data['position']} in the queue."


class LevelForm(UtilityStepForm):
    fact = "utility-level"
    sentence = "The level on which {utility} takes the application"
    action = "place_on_level"
    field_order = ("level", "on")

    level = forms.TypedChoiceField(
        label="Level",
        coerce=int,
        choices=[(number, f"{number}, {name}") for number, name in LEVELS.items()],
        help_text="Where it differs from what the size says. A changed design is taken by its size again.",
    )
    on = DayField("As told on")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        row = Interconnection.objects.filter(job=self.job).first()
        self.fields["level"].initial = row.level if row else None

    @property
    def said(self) -> str:
        level = self.cleaned_data["level"]
        return f"The application is on level {level}, {LEVELS[level]}."


class ScreensForm(UtilityStepForm):
    fact = "screens"
    sentence = "The screens of {utility} are passed"
    action = "pass_screens"


class GridStudyForm(UtilityStepForm):
    fact = "grid-study"
    sentence = "{utility} has finished its study"
    action = "finish_grid_study"


class MeterOrderForm(UtilityStepForm):
    fact = "meter-ordered"
    sentence = "The meter is ordered from {utility}"
    action = "order_meter"


class UtilityApprovalForm(UtilityStepForm):
    fact = "utility-approval"
    sentence = "The interconnection is approved by {utility}"
    action = "approve_interconnection"


class AgreementForm(UtilityStepForm):
    fact = "agreement"
    sentence = "The customer has signed the interconnection agreement"
    action = "sign_agreement"


class InspectionSentForm(UtilityStepForm):
    fact = "inspection-sent"
    sentence = "The passed inspection has gone to {utility}"
    action = "send_inspection"


class MeterForm(UtilityStepForm):
    fact = "meter"
    sentence = "The meter is set by {utility}"
    action = "set_meter"


class WitnessForm(UtilityStepForm):
    fact = "witness"
    sentence = "The witness test has passed"
    action = "pass_witness_test"


class PermissionForm(UtilityStepForm):
    fact = "permission"
    sentence = "Permission to operate has come from {utility}"
    action = "grant_permission"

    on = DayField("Dated")
    number = forms.CharField(label="Number on the letter", max_length=60, required=False)


class UtilityRequestForm(UtilityForm):
    fact = "utility-request"
    button = "Record what it asks for"

    text = words("What it still needs", required=True)
    on = DayField("Asked on")

    @property
    def title(self) -> str:
        return f"What {self.utility} still needs"

    @property
    def said(self) -> str:
        return f"Recorded what {self.utility} asks for."

    def record(self) -> None:
        interconnection.record_utility_request(job=self.job, actor=self.person, **self.cleaned_data)


class UtilityAnswerForm(UtilityForm):
    fact = "utility-answer"
    button = "Record the answer"

    answer = words("What was sent", required=True)
    on = DayField("Sent on")

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        rows = UtilityRequest.objects.select_related("interconnection__job").filter(interconnection__job=job)
        return own(rows, subject)

    @property
    def title(self) -> str:
        return f"Answer {self.utility}"

    @property
    def lead(self) -> str:
        return f"“{self.subject.text}”"

    @property
    def said(self) -> str:
        return f"{self.utility} has its answer."

    def record(self) -> None:
        interconnection.answer_utility_request(request=self.subject, actor=self.person, **self.cleaned_data)
