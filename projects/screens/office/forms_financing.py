"""Facts about the customer's loan: the application, the lender's decision, its conditions."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from projects.actions import financing
from projects.models import FinancingApplication, Job, LenderCondition
from projects.screens.money_field import PercentField, UsdField
from projects.screens.office.forms_base import DayField, FactForm, own, words

State = FinancingApplication.State


class FinancingForm(FactForm):
    fact = "financing"
    button = "Record the application"

    lender = forms.CharField(label="Lender", max_length=80, error_messages={"required": "Name the lender."})
    amount_usd = UsdField("Amount of the loan")
    rate_pct = PercentField("Rate a year", help_text="As the lender states it.")
    months = forms.IntegerField(
        label="Months", widget=forms.TextInput(attrs={"inputmode": "numeric"}), error_messages={"required": "How many?"}
    )
    on = DayField("Submitted on")
    reference = forms.CharField(label="The lender's number", required=False, max_length=60)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["amount_usd"].initial = self.job.price_usd
        design = self.job.designs.order_by("-revision").first()
        if design is not None:
            self.fields["months"].initial = design.loan_months
            self.fields["rate_pct"].initial = Decimal(design.loan_rate_per_year) * 100

    @property
    def title(self) -> str:
        return "The customer applies for a loan"

    @property
    def lead(self) -> str:
        return "The office records what the lender says. It gives no advice on credit; the lender's papers govern."

    @property
    def said(self) -> str:
        return f"The application is with {self.cleaned_data['lender']}."

    def record(self) -> None:
        fields = dict(self.cleaned_data)
        rate = fields.pop("rate_pct")
        financing.submit_financing(job=self.job, actor=self.person, rate_per_year=rate / 100, **fields)

    def add_error(self, field: str | None, error: Any) -> None:
        super().add_error("rate_pct" if field == "rate_per_year" else field, error)


class OfApplication(FactForm):
    @classmethod
    def find(cls, job: Job, subject: str) -> FinancingApplication:
        return own(job.financing.select_related("job"), subject)


class DecideFinancingForm(OfApplication):
    fact = "financing-decided"
    button = "Record it"

    state = forms.ChoiceField(
        label="What became of it",
        choices=[(state.value, state.label) for state in (State.APPROVED, State.DECLINED, State.WITHDRAWN)],
    )
    on = DayField("Decided on")
    note = words("Note", rows=2, help_text="Why, where it was declined or withdrawn.")

    @property
    def title(self) -> str:
        return f"The application with {self.subject.lender}"

    @property
    def said(self) -> str:
        return f"The loan is {State(self.cleaned_data['state']).label.lower()}."

    def record(self) -> None:
        financing.decide_financing(application=self.subject, actor=self.person, **self.cleaned_data)


class ConditionForm(OfApplication):
    fact = "lender-asks"
    button = "Record the condition"

    text = words("What the lender asks for", required=True, rows=2)
    party = forms.ChoiceField(label="Whose turn it is", choices=LenderCondition.Party.choices)
    on = DayField("Asked on")

    @property
    def title(self) -> str:
        return f"{self.subject.lender} asks for something"

    @property
    def said(self) -> str:
        return "The condition is on the job's list."

    def record(self) -> None:
        financing.ask_condition(application=self.subject, actor=self.person, **self.cleaned_data)


class ConditionMetForm(FactForm):
    fact = "lender-condition-met"
    button = "Record it as met"

    on = DayField("Met on")
    note = words("How", rows=2)

    @classmethod
    def find(cls, job: Job, subject: str) -> LenderCondition:
        rows = LenderCondition.objects.filter(application__job=job, met_on=None).select_related("application__job")
        return own(rows, subject)

    @property
    def title(self) -> str:
        return "A lender's condition is met"

    @property
    def lead(self) -> str:
        return self.subject.text

    @property
    def said(self) -> str:
        return "The condition is met."

    def record(self) -> None:
        financing.meet_condition(condition=self.subject, actor=self.person, **self.cleaned_data)


FORMS: tuple[type[FactForm], ...] = (FinancingForm, DecideFinancingForm, ConditionForm, ConditionMetForm)
