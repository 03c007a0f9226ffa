"""Facts about the job as a whole: price, who looks after it, photos, the customer's link, how it ended."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import Q

from projects.actions import closing, office, reopening
from projects.models import Job, Jurisdiction, Person, Role, Utility
from projects.screens.money_field import UsdField
from projects.screens.office.forms_base import FactForm, reason_field


class PriceForm(FactForm):
    fact = "price"
    button = "Set the price"
    writes_over = True

    price_usd = UsdField("Price", required=False, help_text="Empty: no price yet.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["price_usd"].initial = self.job.price_usd

    @property
    def title(self) -> str:
        return "Price of the job"

    @property
    def said(self) -> str:
        price = self.cleaned_data["price_usd"]
        return "The price is taken back." if price is None else f"The price is ${price:,.2f}."

    def record(self) -> None:
        office.set_price(job=self.job, actor=self.person, **self.cleaned_data)


class AuthoritiesForm(FactForm):
    fact = "authorities"
    button = "Save"
    writes_over = True

    jurisdiction = forms.ModelChoiceField(
        label="Jurisdiction (building department)",
        queryset=Jurisdiction.objects.all(),
        required=False,
        empty_label="Not known yet",
    )
    utility = forms.ModelChoiceField(
        label="Utility", queryset=Utility.objects.all(), required=False, empty_label="Not known yet"
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["jurisdiction"].initial = self.job.jurisdiction_id
        self.fields["utility"].initial = self.job.utility_id

    @property
    def title(self) -> str:
        return "Jurisdiction and utility"

    @property
    def lead(self) -> str:
        return (
            "Their profiles decide which permits, inspections and papers the route asks for, and how long each takes."
        )

    @property
    def said(self) -> str:
        return "The jurisdiction and the utility are set."

    def record(self) -> None:
        office.set_authorities(job=self.job, actor=self.person, **self.cleaned_data)


class AssignForm(FactForm):
    fact = "assigned"
    button = "Hand it over"
    writes_over = True

    person = forms.ModelChoiceField(
        label="Who looks after the job", queryset=Person.objects.none(), required=False, empty_label="Nobody yet"
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        working = Q(is_active=True) & ~Q(role=Role.LICENCE_HOLDER)
        self.fields["person"].queryset = Person.objects.filter(working).order_by("first_name", "last_name")
        self.fields["person"].label_from_instance = lambda person: f"{person.name} ({person.get_role_display()})"
        self.fields["person"].initial = self.job.assigned_to_id

    @property
    def title(self) -> str:
        return "Who looks after the job"

    @property
    def said(self) -> str:
        chosen = self.cleaned_data["person"]
        return f"{chosen.name} looks after the job." if chosen else "Nobody looks after the job for now."

    def record(self) -> None:
        office.assign(job=self.job, actor=self.person, **self.cleaned_data)


class CloseForm(FactForm):
    fact = "closed"
    button = "Close the job"

    outcome = forms.ChoiceField(
        label="How it ended",
        choices=[(Job.Outcome.LOST, "Lost: they decided against us"), (Job.Outcome.CANCELLED, "Cancelled")],
        widget=forms.RadioSelect,
        error_messages={"required": "Say how it ended."},
    )
    reason = reason_field("Why")

    @property
    def title(self) -> str:
        return "Close the job"

    @property
    def lead(self) -> str:
        return "Nothing is deleted; the job can be opened again."

    @property
    def said(self) -> str:
        return f"The job is closed as {self.cleaned_data['outcome']}."

    def record(self) -> None:
        closing.close_job(job=self.job, actor=self.person, **self.cleaned_data)


class ReopenForm(FactForm):
    fact = "reopened"
    button = "Open it again"

    reason = reason_field("Why")

    @property
    def title(self) -> str:
        return "Open the job again"

    @property
    def said(self) -> str:
        return "The job is open again."

    def record(self) -> None:
        reopening.reopen_job(job=self.job, actor=self.person, **self.cleaned_data)


class ShareLinkForm(FactForm):
    """Its answer is the link itself, shown once: only a hash of it is stored."""

    fact = "customer-link"
    button = "Make a link"

    @property
    def title(self) -> str:
        return "A link for the customer"

    @property
    def lead(self) -> str:
        return "Whoever has it sees this job's progress and nothing else. It is shown once."

    def record(self) -> str:
        return office.share_link(job=self.job, actor=self.person)


class RevokeLinksForm(FactForm):
    fact = "links-revoked"
    button = "Revoke all links"

    @property
    def title(self) -> str:
        return "Revoke the customer's links"

    @property
    def lead(self) -> str:
        return "Every link given out for this job stops working at once."

    @property
    def said(self) -> str:
        return "The customer's links no longer work."

    def record(self) -> None:
        office.revoke_links(job=self.job, actor=self.person)
