"""Payments, refunds and the customer's credit: what they come to, to the cent, and what no payment is."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from projects.actions import closing, invoicing, payments
from projects.actions.ledger import ledger_of
from projects.actions.problems import NotAllowed, Problems
from tests.actions.money import fields, figures, invoice, parts, pay, priced
from tests.factories import crew_person, office_person

pytestmark = pytest.mark.django_db


def test_partial_whole_and_overpaid() -> None:
    job = priced("permits")
    invoice(job)
    pay(job, "1000")
    assert figures(job) == (Decimal("3842.00"), Decimal("2842.00"), Decimal("0.00"))
    pay(job, "2842.00", "1042")
    assert figures(job)[1] == 0
    assert parts(job)[0].state == "paid"
    pay(job, "58.00")
    assert figures(job) == (Decimal("3842.00"), Decimal("0.00"), Decimal("58.00"))


def test_the_credit_pays_the_next_invoice() -> None:
    job = priced("installation")
    invoice(job)
    pay(job, "5000")
    invoice(job, 2)
    assert [line.open_usd for line in ledger_of(job).invoices] == [Decimal("0.00"), Decimal("14210.00")]


def test_no_more_is_refunded_than_the_customer_has_to_their_credit() -> None:
    job = priced("permits")
    row = invoice(job)
    pay(job, "4000")
    told = {"job": job, "actor": office_person(), "on": timezone.localdate(), "method": "check"}
    with pytest.raises(Problems, match=r"At most \$158\.00"):
        payments.record_refund(**told, amount_usd=Decimal("158.01"))
    payments.record_refund(**told, amount_usd=Decimal("158"))
    with pytest.raises(Problems, match="nothing to their credit"):
        payments.record_refund(**told, amount_usd=Decimal("0.01"))
    invoicing.credit_invoice(invoice=row, actor=office_person(), reason="Called off.")
    payments.record_refund(**told, amount_usd=Decimal("3842"))
    assert figures(job) == (Decimal("0.00"), Decimal("0.00"), Decimal("0.00"))


def test_a_check_that_bounced_no_longer_counts_even_after_a_refund() -> None:
    job = priced("permits")
    invoice(job)
    row = pay(job, "4000", "1042")
    payments.record_refund(
        job=job, actor=office_person(), on=timezone.localdate(), amount_usd=Decimal("158"), method="transfer"
    )
    payments.withdraw_payment(payment=row, actor=office_person(), reason="The bank sent it back.")
    assert figures(job) == (Decimal("3842.00"), Decimal("4000.00"), Decimal("0.00"))
    with pytest.raises(Problems):
        payments.withdraw_payment(payment=row, actor=office_person(), reason="Again.")


@pytest.mark.parametrize("amount", ["0", "-5", "0.001", "10000000", "NaN", "sNaN", "-Infinity"])
def test_a_payment_that_cannot_be_is_refused(amount: str) -> None:
    with pytest.raises(Problems) as problems:
        pay(priced("permits"), amount)
    assert fields(problems) == {"amount_usd"}


def test_a_float_is_no_money() -> None:
    job = priced("permits")
    with pytest.raises(Problems):
        payments.record_payment(
            job=job,
            actor=office_person(),
            on=timezone.localdate(),
            amount_usd=12.5,
            method="check",  # type: ignore[arg-type]
        )


def test_the_same_check_counts_once_and_a_cards_number_is_not_kept() -> None:
    job = priced("permits")
    pay(job, "100", "1042")
    with pytest.raises(Problems, match="recorded already"):
        pay(job, "100", "1042")
    pay(job, "100", "1043")
    # The test number of a card network; it passes the check digit.
    for number in ("4111111111111111", "4111 1111 1111 1111", "4111-1111-1111-1111"):
        with pytest.raises(Problems) as problems:
            pay(job, "100", number, "card")
        assert fields(problems) == {"reference"}
    pay(job, "100", "20260301440000000017", "transfer")


def test_a_payment_of_tomorrow_or_from_before_the_lead_is_refused() -> None:
    job = priced("permits")
    for on in (timezone.localdate() + timedelta(days=1), timezone.localdate(job.received_at) - timedelta(days=1)):
        with pytest.raises(Problems) as problems:
            payments.record_payment(job=job, actor=office_person(), on=on, amount_usd=Decimal(5), method="cash")
        assert fields(problems) == {"on"}


def test_money_still_moves_on_a_job_that_was_called_off() -> None:
    job = priced("permits")
    row = invoice(job)
    pay(job, "3842")
    closing.close_job(job=job, actor=office_person(), outcome="cancelled", reason="They move.")
    invoicing.credit_invoice(invoice=row, actor=office_person(), reason="Called off within the time to withdraw.")
    payments.record_refund(
        job=job, actor=office_person(), on=timezone.localdate(), amount_usd=Decimal("3842"), method="check"
    )
    assert figures(job) == (Decimal("0.00"), Decimal("0.00"), Decimal("0.00"))


def test_the_crew_moves_no_money() -> None:
    job = priced("permits")
    with pytest.raises(NotAllowed):
        invoicing.record_invoice(job=job, actor=crew_person(), part=1)
    with pytest.raises(NotAllowed):
        payments.record_payment(
            job=job, actor=crew_person(), on=timezone.localdate(), amount_usd=Decimal(5), method="cash"
        )
