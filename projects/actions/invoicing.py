"""Invoices and credit notes as entries of the book; the papers themselves are ``paperwork``'s."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from projects.actions.amounts import checked_usd, usd
from projects.actions.findings import today
from projects.actions.ledger import ledger_of
from projects.actions.recording import recording
from projects.actions.roles import OFFICE
from projects.actions.schedule import BALANCE, fix_terms, parts_of
from projects.models import CreditNote, Invoice, Job, PaymentTerms, Person
from projects.route.words import within_sentence


def record_invoice(*, job: Job, actor: Person, part: int) -> Invoice:
    """Asks for the part with this order number of the job's schedule (0: the balance), as of today.

    The part must be due by its fact, and not invoiced yet. Its amount is the share of today's price.
    """
    with recording(job, actor, OFFICE) as book:
        if job.price_usd is None:
            book.findings.add("", "This job has no price yet: set it first.")
        terms = fix_terms(job)
        found = next(
            (p for p in parts_of(job.price_usd, terms, ledger_of(job), book.standing) if p.order == part), None
        )
        if found is None:
            book.findings.add("part", "There is no such part of the price to ask for.")
        elif found.invoice is not None:
            book.findings.add("part", f"{found.title} is invoiced already: {found.invoice.invoice.number}.")
        elif found.reached is None:
            book.findings.extend("part", [f"First: {within_sentence(sentence)}." for sentence in found.missing])
        elif found.amount_usd <= 0 and job.price_usd is not None:
            book.findings.add("part", "Nothing is left to ask for with this part.")
        book.findings.refuse()
        assert found is not None
        sequence = _next(Invoice, job)
        invoice = Invoice.objects.create(
            job=job,
            milestone=None if part == BALANCE else next(row for row in terms if row.order == part),
            sequence=sequence,
            number=f"{job.label}-IN-{sequence}",
            title=found.title,
            amount_usd=found.amount_usd,
            issued_on=today(),
            due_on=today() + timedelta(days=PaymentTerms.current().payment_days),
            issued_by=actor,
        )
        book.write("invoiced", number=invoice.number, amount=usd(invoice.amount_usd), title=invoice.title)
    return invoice


def credit_invoice(*, invoice: Invoice, actor: Person, reason: str, amount_usd: Decimal | None = None) -> CreditNote:
    """Takes an invoice back with a credit note: wholly (it is void then) where no amount is given, else in part.

    What was paid on it becomes the customer's credit.
    """
    job = invoice.job
    with recording(job, actor, OFFICE, closed_too=True) as book:
        book.findings.need("reason", reason, "Say why it is taken back; the customer reads it.")
        line = next(line for line in ledger_of(job).invoices if line.invoice.pk == invoice.pk)
        amount = line.net_usd if amount_usd is None else checked_usd(book.findings, "amount_usd", amount_usd)
        if line.void:
            book.findings.add("", f"{invoice.number} is void already.")
        elif amount is not None and amount > line.net_usd:
            book.findings.add("amount_usd", f"At most {usd(line.net_usd)}: no more is left of {invoice.number}.")
        book.findings.refuse()
        sequence = _next(CreditNote, job)
        note = CreditNote.objects.create(
            job=job,
            invoice=invoice,
            sequence=sequence,
            number=f"{job.label}-CN-{sequence}",
            amount_usd=amount,
            reason=reason.strip(),
            issued_on=today(),
            issued_by=actor,
        )
        void = ": it is void" if amount == line.net_usd else ""
        book.write("credited", number=note.number, amount=usd(note.amount_usd), invoice=invoice.number, void=void)
    return note


def _next(model: type[Invoice] | type[CreditNote], job: Job) -> int:
    last = model.objects.filter(job=job).order_by("-sequence").first()
    return last.sequence + 1 if last else 1
