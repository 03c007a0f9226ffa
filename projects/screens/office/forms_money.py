"""Facts about money: change orders, the job's schedule, payments and refunds, costs."""

from __future__ import annotations

from typing import Any

from django import forms

from projects.actions import change_orders, costs, payment_terms, payments
from projects.actions.amounts import usd
from projects.actions.ledger import ledger_of
from projects.actions.payment_terms import MOST_PARTS, ScheduleLine
from projects.actions.schedule import terms_of
from projects.models import ChangeOrder, Job, JobCost, MilestoneFact, Payment, PaymentTerms
from projects.screens.money_field import PercentField, UsdField
from projects.screens.office.forms_base import DayField, FactForm, own, words
from projects.screens.plain_form import PlainForm


class ChangeForm(FactForm):
    fact = "change-order"
    button = "Write the change order"

    on = DayField("Proposed on")
    amount_usd = UsdField("Amount", help_text="Added to the price; −500 where it falls, 0 where only the work changes.")
    design = forms.ModelChoiceField(
        label="Revision of the design", queryset=None, required=False, empty_label="None: the design stays"
    )
    reason = words("What changes, and why", required=True)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["design"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = self.job.designs.filter(preliminary=False).order_by("-revision")
        field.label_from_instance = lambda design: f"Revision {design.revision_letter}"

    @property
    def title(self) -> str:
        return "A change order"

    @property
    def lead(self) -> str:
        return "The price moves once the customer has approved it."

    @property
    def said(self) -> str:
        return "The change order is written; it waits for the customer."

    def record(self) -> None:
        change_orders.propose_change(job=self.job, actor=self.person, **self.cleaned_data)


class OfChange(FactForm):
    @classmethod
    def find(cls, job: Job, subject: str) -> ChangeOrder:
        return own(job.change_orders.select_related("job"), subject)

    @property
    def lead(self) -> str:
        return f"{usd(self.subject.amount_usd)}: {self.subject.reason}"


class ApproveChangeForm(OfChange):
    fact = "change-approved"
    button = "Record the approval"

    on = DayField("Approved on")
    note = words("How", rows=2, help_text="Signed on paper, by e-mail of that day, ...")

    @property
    def title(self) -> str:
        return f"The customer approves change order {self.subject.number}"

    @property
    def said(self) -> str:
        self.job.refresh_from_db(fields=["price_usd"])
        return f"Change order {self.subject.number} is approved; the price is now {usd(self.job.price_usd)}."

    def record(self) -> None:
        change_orders.approve_change(change=self.subject, actor=self.person, **self.cleaned_data)


class DropChangeForm(OfChange):
    fact = "change-dropped"
    button = "Drop it"

    on = DayField("Decided on")
    reason = words("Why", required=True, rows=2)

    @property
    def title(self) -> str:
        return f"Drop change order {self.subject.number}"

    @property
    def said(self) -> str:
        return f"Change order {self.subject.number} is dropped."

    def record(self) -> None:
        change_orders.drop_change(change=self.subject, actor=self.person, **self.cleaned_data)


class ScheduleRows(PlainForm):
    """Rows of title, fact and percent; an empty row counts as none."""

    def add_rows(self, rows: Any) -> None:
        """As many as stand in the book and two more, or as many as were sent: somebody may have dropped some since."""
        sent = sum(f"title_{n}" in self.data for n in range(1, MOST_PARTS + 1))
        for n in range(1, min(MOST_PARTS, max(len(rows) + 2, sent)) + 1):
            self.fields[f"title_{n}"] = forms.CharField(label=f"Part {n}", required=False, max_length=80)
            self.fields[f"fact_{n}"] = forms.ChoiceField(
                label="Due when", required=False, choices=[("", "—"), *MilestoneFact.choices]
            )
            self.fields[f"percent_{n}"] = PercentField("Share of the price", required=False)
            if n <= len(rows):
                row = rows[n - 1]
                self.initial |= {f"title_{n}": row.title, f"fact_{n}": row.fact, f"percent_{n}": row.percent}

    def lines(self) -> list[ScheduleLine]:
        found = []
        for n in range(1, MOST_PARTS + 1):
            if f"title_{n}" not in self.fields:
                break
            title, fact, percent = (self.cleaned_data.get(f"{name}_{n}") for name in ("title", "fact", "percent"))
            if title or fact or percent is not None:
                found.append(ScheduleLine(title or "", fact or "", percent, n))
        return found


class ScheduleForm(ScheduleRows, FactForm):
    fact = "payment-schedule"
    button = "Set the schedule"
    writes_over = True
    threes = True

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.add_rows(terms_of(self.job))

    @property
    def title(self) -> str:
        return "In which parts this job is paid"

    @property
    def lead(self) -> str:
        return (
            "The shares come to 100 %. Parts that are invoiced stay as they are. What the customer has signed is "
            "changed only with the customer."
        )

    @property
    def said(self) -> str:
        return "The schedule is set."

    def record(self) -> None:
        payment_terms.set_schedule(job=self.job, actor=self.person, lines=self.lines())


class MoneyMoves(FactForm):
    on = DayField("On")
    amount_usd = UsdField("Amount")
    method = forms.ChoiceField(label="How", choices=Payment.Method.choices)
    reference = forms.CharField(
        label="Reference",
        required=False,
        max_length=60,
        help_text="Check number or the transfer's reference; never a card's number.",
    )


class PaymentForm(MoneyMoves):
    fact = "payment"
    button = "Record the payment"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        owed = ledger_of(self.job).owed_usd
        if owed:
            self.fields["amount_usd"].initial = owed

    @property
    def title(self) -> str:
        return "Money came in"

    @property
    def lead(self) -> str:
        return "It pays the invoice that is due first; what is over is the customer's credit."

    @property
    def said(self) -> str:
        left = ledger_of(self.job)
        after = f"{usd(left.owed_usd)} are still owed." if left.owed_usd else "Nothing is owed."
        credit = f" {usd(left.credit_usd)} are the customer's credit." if left.credit_usd else ""
        return f"{usd(self.cleaned_data['amount_usd'])} received. {after}{credit}"

    def record(self) -> None:
        payments.record_payment(job=self.job, actor=self.person, **self.cleaned_data)


class RefundForm(MoneyMoves):
    fact = "refund"
    button = "Record the refund"

    @property
    def title(self) -> str:
        return "Money goes back to the customer"

    @property
    def lead(self) -> str:
        return f"The customer has {usd(ledger_of(self.job).credit_usd)} to their credit."

    @property
    def said(self) -> str:
        return f"{usd(self.cleaned_data['amount_usd'])} refunded."

    def record(self) -> None:
        payments.record_refund(job=self.job, actor=self.person, **self.cleaned_data)


class WithdrawPaymentForm(FactForm):
    fact = "payment-back"
    button = "Take it back"

    reason = words("Why", required=True, rows=2, help_text="The check bounced, the wrong job, ...")

    @classmethod
    def find(cls, job: Job, subject: str) -> Payment:
        return own(job.payments.filter(withdrawn_at=None).select_related("job"), subject)

    @property
    def title(self) -> str:
        return f"{usd(self.subject.amount_usd)} of {self.subject.on:%-d %b %Y} no longer count"

    @property
    def said(self) -> str:
        return "It no longer counts; the entry stays in the journal."

    def record(self) -> None:
        payments.withdraw_payment(payment=self.subject, actor=self.person, **self.cleaned_data)


class CostForm(FactForm):
    fact = "cost"
    button = "Record the cost"

    on = DayField("On")
    kind = forms.ChoiceField(label="What kind", choices=JobCost.Kind.choices)
    what = forms.CharField(label="What", max_length=120, error_messages={"required": "Say what it was."})
    hours = forms.DecimalField(
        label="Hours (labor)", required=False, widget=forms.TextInput(attrs={"inputmode": "decimal"})
    )
    amount_usd = UsdField("Amount", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rate = PaymentTerms.current().labor_usd_per_hour
        self.fields["hours"].help_text = f"At {usd(rate)} an hour; the amount follows."
        self.fields["amount_usd"].help_text = "For everything but labor."

    @property
    def title(self) -> str:
        return "What this job costs us"

    @property
    def lead(self) -> str:
        return (
            "Permit fees are counted from the permits. Equipment is counted from the design by the catalogue's prices "
            "until it is recorded here as bought."
        )

    @property
    def said(self) -> str:
        return "The cost is recorded."

    def record(self) -> None:
        costs.record_cost(job=self.job, actor=self.person, **self.cleaned_data)


class WithdrawCostForm(FactForm):
    fact = "cost-back"
    button = "Take it back"

    reason = words("Why", required=True, rows=2)

    @classmethod
    def find(cls, job: Job, subject: str) -> JobCost:
        return own(job.costs.filter(withdrawn_at=None).select_related("job"), subject)

    @property
    def title(self) -> str:
        return f"{self.subject.what}: {usd(self.subject.amount_usd)} no longer counts"

    @property
    def said(self) -> str:
        return "The cost is taken back."

    def record(self) -> None:
        costs.withdraw_cost(cost=self.subject, actor=self.person, **self.cleaned_data)


FORMS: tuple[type[FactForm], ...] = (
    ChangeForm,
    ApproveChangeForm,
    DropChangeForm,
    ScheduleForm,
    PaymentForm,
    RefundForm,
    WithdrawPaymentForm,
    CostForm,
    WithdrawCostForm,
)
