"""Invoices and credit notes: the entry in the book and the paper, both or neither."""

from __future__ import annotations

from decimal import Decimal

from django.db import transaction

from paperwork.issue import issue_paper
from paperwork.models import IssuedPaper
from projects.actions.invoicing import credit_invoice, record_invoice
from projects.models import Invoice, Job, Person


def issue_invoice(*, job: Job, part: int, actor: Person) -> IssuedPaper:
    """Writes the invoice for a part of the price that is due, and issues it as a paper of the same number.

    Raises Problems with every reason against it; nothing is written then.
    """
    with transaction.atomic():
        row = record_invoice(job=job, actor=actor, part=part)
        return _same_number(issue_paper(job=job, kind="invoice", actor=actor), row.number)


def issue_credit_note(
    *, invoice: Invoice, actor: Person, reason: str, amount_usd: Decimal | None = None
) -> IssuedPaper:
    """Takes an invoice back, wholly where no amount is given; the paper carries the reason."""
    with transaction.atomic():
        row = credit_invoice(invoice=invoice, actor=actor, reason=reason, amount_usd=amount_usd)
        return _same_number(issue_paper(job=invoice.job, kind="credit_note", actor=actor), row.number)


def _same_number(paper: IssuedPaper, number: str) -> IssuedPaper:
    if paper.number != number:
        raise RuntimeError(f"the book says {number}, the paper {paper.number}")
    return paper
