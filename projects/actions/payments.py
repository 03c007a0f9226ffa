"""Money received and given back."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.utils import timezone

from projects.actions.amounts import checked_reference, checked_usd, usd
from projects.actions.ledger import ledger_of
from projects.actions.recording import Book, recording, written_once
from projects.actions.roles import OFFICE
from projects.models import Job, Payment, Person


def record_payment(
    *, job: Job, actor: Person, on: date, amount_usd: Decimal, method: str, reference: str = ""
) -> Payment:
    """Money came in. It pays the invoice that is due first; what is more than all invoices is the customer's credit."""
    with recording(job, actor, OFFICE, closed_too=True) as book:
        fields = _checked(book, job, on, amount_usd, method, reference)
        again = Payment.objects.filter(job=job, kind=Payment.Kind.RECEIVED, withdrawn_at=None, **fields)
        if reference.strip() and again.exists():
            book.findings.add("reference", "This payment is recorded already.")
        book.findings.refuse()
        row = Payment.objects.create(job=job, recorded_by=actor, **fields)
        book.write("payment_received", on, amount=usd(row.amount_usd), method=row.get_method_display().lower())
    return row


def record_refund(
    *, job: Job, actor: Person, on: date, amount_usd: Decimal, method: str, reference: str = ""
) -> Payment:
    """Gives back what the customer has to their credit, or a part of it."""
    with recording(job, actor, OFFICE, closed_too=True) as book:
        fields = _checked(book, job, on, amount_usd, method, reference)
        credit = ledger_of(job).credit_usd
        if credit <= 0:
            book.findings.add("amount_usd", "The customer has nothing to their credit. A credit note makes it so.")
        elif fields["amount_usd"] is not None and fields["amount_usd"] > credit:
            book.findings.add("amount_usd", f"At most {usd(credit)}: that is the customer's credit.")
        book.findings.refuse()
        row = Payment.objects.create(job=job, kind=Payment.Kind.REFUND, recorded_by=actor, **fields)
        book.write("payment_refunded", on, amount=usd(row.amount_usd), method=row.get_method_display().lower())
    return row


def withdraw_payment(*, payment: Payment, actor: Person, reason: str) -> Payment:
    """A check that bounced, or a slip: it no longer counts, and stays with the reason."""
    job = payment.job
    with recording(job, actor, OFFICE, closed_too=True) as book:
        book.findings.need("reason", reason, "Say why it no longer counts.")
        book.findings.refuse()
        open_ = Payment.objects.filter(pk=payment.pk, withdrawn_at=None)
        written_once(open_.update(withdrawn_at=timezone.now(), withdrawn_reason=reason.strip()))
        payment.refresh_from_db()
        book.write("payment_withdrawn", amount=usd(payment.amount_usd), day=payment.on.isoformat())
    return payment


def _checked(book: Book, job: Job, on: date, amount_usd: Decimal, method: str, reference: str) -> dict:
    book.findings.happened(job, on)
    if method not in Payment.Method.values:
        book.findings.add("method", "Choose how it was paid.")
    return {
        "on": on,
        "amount_usd": checked_usd(book.findings, "amount_usd", amount_usd),
        "method": method,
        "reference": checked_reference(book.findings, "reference", reference),
    }
