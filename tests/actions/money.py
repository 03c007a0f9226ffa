"""A job with a price, and its money in few words."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.utils import timezone

from projects.actions import change_orders, invoicing, office, payments
from projects.actions.ledger import Ledger, ledger_of
from projects.actions.problems import Problems
from projects.actions.schedule import Part, parts_of, terms_of
from projects.actions.standing import standing_of
from projects.models import ChangeOrder, Invoice, Job, Payment
from tests.factories import job_at, office_person

PRICE = Decimal("38420.00")


def fields(problems: pytest.ExceptionInfo[Problems]) -> set[str]:
    return {problem.field for problem in problems.value}


def priced(stage: str, kind: str = "hybrid") -> Job:
    job = job_at(stage, kind)
    return office.set_price(job=job, actor=office_person(), price_usd=PRICE)


def parts(job: Job) -> list[Part]:
    job.refresh_from_db()
    return parts_of(job.price_usd, terms_of(job), ledger_of(job), standing_of(job))


def invoice(job: Job, part: int = 1) -> Invoice:
    return invoicing.record_invoice(job=job, actor=office_person(), part=part)


def pay(job: Job, amount: str, reference: str = "", method: str = "check") -> Payment:
    return payments.record_payment(
        job=job,
        actor=office_person(),
        on=timezone.localdate(),
        amount_usd=Decimal(amount),
        method=method,
        reference=reference,
    )


def change(job: Job, amount: str, *, approved: bool = True) -> ChangeOrder:
    told = {"actor": office_person(), "on": timezone.localdate()}
    row = change_orders.propose_change(job=job, reason="Two more modules.", amount_usd=Decimal(amount), **told)
    return change_orders.approve_change(change=row, **told) if approved else row


def figures(job: Job) -> tuple[Decimal, Decimal, Decimal]:
    """Invoiced, owed, to the customer's credit."""
    found: Ledger = ledger_of(job)
    return found.invoiced_usd, found.owed_usd, found.credit_usd
