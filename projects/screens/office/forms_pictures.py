"""Facts about pictures that the customer is asked for: asked, taken back, accepted, not usable."""

from __future__ import annotations

from typing import Any

from django import forms

from projects.actions import customer_pictures
from projects.models import CustomerAsk, CustomerUpload, Evidence, Job
from projects.screens.office.forms_base import NO_NAMES, FactForm, own, words


class AskForm(FactForm):
    fact = "customer-asked"
    button = "Ask for it"

    kind = forms.ChoiceField(label="What the picture should show", choices=Evidence.Kind.choices)
    words = forms.CharField(
        label="More about it, for the customer",
        max_length=200,
        required=False,
        help_text="“With the door open, so that the breakers can be read.”",
    )

    @property
    def title(self) -> str:
        return "Ask the customer for a picture"

    @property
    def lead(self) -> str:
        return "It stands on the customer's page, and what comes waits here until somebody has looked at it."

    @property
    def said(self) -> str:
        return "It stands on the customer's page."

    def record(self) -> None:
        customer_pictures.ask_customer(job=self.job, actor=self.person, **self.cleaned_data)


class CloseAskForm(FactForm):
    fact = "ask-closed"
    button = "Take it back"

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        return own(CustomerAsk.objects.filter(job=job, closed_at=None).select_related("job"), subject)

    @property
    def title(self) -> str:
        return f"No longer ask for: {self.subject.get_kind_display().lower()}"

    @property
    def said(self) -> str:
        return "It is no longer asked for."

    def record(self) -> None:
        customer_pictures.close_ask(ask=self.subject, actor=self.person)


class AcceptPictureForm(FactForm):
    fact = "picture-accepted"
    button = "Accept it"

    @classmethod
    def find(cls, job: Job, subject: str) -> Any:
        rows = CustomerUpload.objects.filter(ask__job=job, decided_at=None).select_related("ask__job")
        return own(rows, subject)

    @property
    def title(self) -> str:
        return f"Accept the customer's picture: {self.subject.ask.get_kind_display().lower()}"

    @property
    def lead(self) -> str:
        return "It becomes one of the job's photos, and is no longer asked for."

    @property
    def said(self) -> str:
        return "The picture is among the job's photos."

    def record(self) -> None:
        customer_pictures.accept_picture(upload=self.subject, actor=self.person)


class RefusePictureForm(FactForm):
    fact = "picture-refused"
    button = "Ask for another"

    reason = words("Why, for the customer", required=True, rows=2, most=200, help_text=NO_NAMES)

    find = AcceptPictureForm.find

    @property
    def title(self) -> str:
        return "The picture isn't usable"

    @property
    def said(self) -> str:
        return "The customer is asked for another one."

    def record(self) -> None:
        customer_pictures.refuse_picture(upload=self.subject, actor=self.person, **self.cleaned_data)


FORMS = (AskForm, CloseAskForm, AcceptPictureForm, RefusePictureForm)
