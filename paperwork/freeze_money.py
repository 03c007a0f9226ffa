"""Freezes what an invoice or a credit note shows. Amounts are kept as text: JSON knows no Decimal."""

from __future__ import annotations

from typing import Any

from paperwork.models import IssuedPaper
from projects.actions.ledger import InvoiceLine, Ledger, ledger_of
from projects.actions.schedule import Part, parts_of, terms_of
from projects.actions.standing import standing_of
from projects.models import ChangeOrder, CreditNote, Invoice, Job


def unpapered_invoice(job: Job) -> Invoice | None:
    """The invoice that is in the book and not on paper yet: there is one only while it is being issued."""
    return _unpapered(Invoice.objects.filter(job=job))


def unpapered_credit_note(job: Job) -> CreditNote | None:
    return _unpapered(CreditNote.objects.filter(job=job).select_related("invoice"))


def _unpapered(rows: Any) -> Any:
    row = rows.order_by("-sequence").first()
    return None if row is None or IssuedPaper.objects.filter(number=row.number).exists() else row


def invoice_facts(job: Job, invoice: Invoice, common: dict[str, Any]) -> dict[str, Any]:
    ledger = ledger_of(job)
    line = _line(ledger, invoice)
    earlier = [other for other in ledger.invoices if other.invoice.pk != invoice.pk and other.open_usd]
    changes = ChangeOrder.objects.filter(job=job, state=ChangeOrder.State.APPROVED)
    parts = parts_of(job.price_usd, terms_of(job), ledger, standing_of(job))
    return {
        **common,
        "invoice": {
            "number": invoice.number,
            "title": invoice.title,
            "amount_usd": str(invoice.amount_usd),
            "issued_on": invoice.issued_on.isoformat(),
            "due_on": invoice.due_on.isoformat(),
            "from_credit_usd": str(line.paid_usd),
            "to_pay_usd": str(line.open_usd),
        },
        "price": {
            "contract_usd": str((job.price_usd or 0) - sum(change.amount_usd for change in changes)),
            "changes": [
                {"number": c.number, "amount_usd": str(c.amount_usd), "approved_on": c.decided_on.isoformat()}
                for c in changes
                if c.decided_on
            ],
            "total_usd": str(job.price_usd),
        },
        "parts": [_part(part, invoice) for part in parts],
        "earlier": [
            {"number": e.invoice.number, "due_on": e.invoice.due_on.isoformat(), "open_usd": str(e.open_usd)}
            for e in earlier
        ],
        "received_usd": str(ledger.received_usd - ledger.refunded_usd),
        "invoiced_usd": str(ledger.invoiced_usd),
    }


def _part(part: Part, invoice: Invoice) -> dict[str, Any]:
    this = part.invoice is not None and part.invoice.invoice.pk == invoice.pk
    return {
        "title": part.title,
        "fact_key": part.fact_key,
        "percent": str(part.percent) if part.percent is not None else "",
        "amount_usd": str(part.amount_usd),
        "reached_on": part.reached.on.isoformat() if part.reached and part.reached.on else "",
        "state": "this" if this else part.state,
        "number": part.invoice.invoice.number if part.invoice else "",
    }


def credit_note_facts(job: Job, note: CreditNote, common: dict[str, Any]) -> dict[str, Any]:
    ledger = ledger_of(job)
    line = _line(ledger, note.invoice)
    return {
        **common,
        "note": {
            "number": note.number,
            "amount_usd": str(note.amount_usd),
            "reason": note.reason,
            "issued_on": note.issued_on.isoformat(),
        },
        "invoice": {
            "number": note.invoice.number,
            "title": note.invoice.title,
            "amount_usd": str(note.invoice.amount_usd),
            "issued_on": note.invoice.issued_on.isoformat(),
            "left_usd": str(line.net_usd),
            "open_usd": str(line.open_usd),
        },
        "credit_usd": str(ledger.credit_usd),
    }


def _line(ledger: Ledger, invoice: Invoice) -> InvoiceLine:
    return next(line for line in ledger.invoices if line.invoice.pk == invoice.pk)
