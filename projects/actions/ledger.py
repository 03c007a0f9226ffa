"""What a job was invoiced, what came in, and what is still open: read from the rows, never stored.

Money pays the invoice that is due first. Sums are made from Decimals in Python: a database may add them as floats.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from projects.models import CreditNote, Invoice, Job, Payment
from projects.route.amounts import ZERO, Bill, settle


@dataclass(frozen=True)
class InvoiceLine:
    invoice: Invoice
    notes: tuple[CreditNote, ...]
    credited_usd: Decimal
    open_usd: Decimal

    @property
    def net_usd(self) -> Decimal:
        return self.invoice.amount_usd - self.credited_usd

    @property
    def paid_usd(self) -> Decimal:
        return self.net_usd - self.open_usd

    @property
    def void(self) -> bool:
        return self.net_usd == 0

    @property
    def paid(self) -> bool:
        return not self.void and self.open_usd == 0

    def late_days(self, today: date) -> int:
        """Days past the due date of what is still open; 0 where nothing is late."""
        return max(0, (today - self.invoice.due_on).days) if self.open_usd else 0


@dataclass(frozen=True)
class Ledger:
    invoices: tuple[InvoiceLine, ...]
    """In the order of their numbers, void ones too."""
    payments: tuple[Payment, ...]
    """Received and refunded, oldest first; without those taken back."""
    received_usd: Decimal
    refunded_usd: Decimal
    invoiced_usd: Decimal
    """After credit notes."""
    owed_usd: Decimal
    """What is open, and what was given back beyond what came in (a check that bounced after a refund)."""
    credit_usd: Decimal
    """Received beyond all invoices, less what was refunded."""

    @property
    def kept_usd(self) -> Decimal:
        return self.received_usd - self.refunded_usd

    def line_of(self, milestone_id: int | None) -> InvoiceLine | None:
        """The living invoice of a milestone."""
        for line in self.invoices:
            if milestone_id is not None and line.invoice.milestone_id == milestone_id and not line.void:
                return line
        return None


def ledger_of(job: Job) -> Ledger:
    return ledgers_of([job.pk])[job.pk]


def ledgers_of(job_ids: Iterable[int]) -> dict[int, Ledger]:
    """Three queries, however many jobs."""
    ids = list(job_ids)
    invoices: dict[int, list[Invoice]] = defaultdict(list)
    for invoice in Invoice.objects.filter(job__in=ids).order_by("sequence"):
        invoices[invoice.job_id].append(invoice)
    notes: dict[int, list[CreditNote]] = defaultdict(list)
    for note in CreditNote.objects.filter(job__in=ids).order_by("sequence"):
        notes[note.invoice_id].append(note)
    payments: dict[int, list[Payment]] = defaultdict(list)
    for payment in Payment.objects.filter(job__in=ids, withdrawn_at=None).select_related("recorded_by"):
        payments[payment.job_id].append(payment)
    return {pk: _ledger(invoices[pk], notes, payments[pk]) for pk in ids}


def _ledger(invoices: list[Invoice], notes: dict[int, list[CreditNote]], payments: list[Payment]) -> Ledger:
    received = sum((p.amount_usd for p in payments if p.kind == Payment.Kind.RECEIVED), ZERO)
    refunded = sum((p.amount_usd for p in payments if p.kind == Payment.Kind.REFUND), ZERO)
    credited = {invoice.pk: sum((n.amount_usd for n in notes.get(invoice.pk, ())), ZERO) for invoice in invoices}
    bills = [Bill(i.pk, i.due_on, i.amount_usd - credited[i.pk]) for i in invoices]
    settled = settle(bills, received - refunded)
    lines = tuple(InvoiceLine(i, tuple(notes.get(i.pk, ())), credited[i.pk], settled.open_usd[i.pk]) for i in invoices)
    return Ledger(
        invoices=lines,
        payments=tuple(payments),
        received_usd=received,
        refunded_usd=refunded,
        invoiced_usd=sum((line.net_usd for line in lines), ZERO),
        owed_usd=sum((line.open_usd for line in lines), ZERO) + max(ZERO, -settled.credit_usd),
        credit_usd=max(ZERO, settled.credit_usd),
    )
