"""Change orders: what the customer agreed to after the contract, and what it does to the price."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from projects.actions.amounts import MOST_USD, checked_usd, usd
from projects.actions.recording import Book, recording, written_once
from projects.actions.roles import OFFICE
from projects.models import ChangeOrder, Design, Job, Person


def propose_change(
    *, job: Job, actor: Person, on: date, reason: str, amount_usd: Decimal, design: Design | None = None
) -> ChangeOrder:
    """Writes the next change order; the price moves only once the customer approves. ``amount_usd``: 0 where only the
    work changes, negative where the price falls."""
    with recording(job, actor, OFFICE) as book:
        book.findings.happened(job, on)
        book.findings.need("reason", reason, "Say what changes and why.")
        amount = checked_usd(book.findings, "amount_usd", amount_usd, may_be_negative=True)
        if job.price_usd is None:
            book.findings.add("", "This job has no price yet: set it first.")
        elif not signed(book):
            book.findings.add("", "The contract is not signed yet: change the price itself.")
        elif amount is not None:
            _price_stays(book, job.price_usd + amount)
        if design is not None and design.job_id != job.pk:
            book.findings.add("design", "That revision is another job's.")
        book.findings.refuse()
        last = ChangeOrder.objects.filter(job=job).order_by("-number").first()
        row = ChangeOrder.objects.create(
            job=job,
            number=last.number + 1 if last else 1,
            reason=reason.strip(),
            amount_usd=amount,
            design=design,
            proposed_on=on,
            recorded_by=actor,
        )
        book.write("change_proposed", on, number=row.number, amount=usd(row.amount_usd))
    return row


def approve_change(*, change: ChangeOrder, actor: Person, on: date, note: str = "") -> ChangeOrder:
    """The customer approved it on that day: the price of the job moves by its amount. ``note``: how it was approved."""
    job = change.job
    with recording(job, actor, OFFICE) as book:
        _decided_on(book, job, change, on)
        price = (job.price_usd or Decimal(0)) + change.amount_usd
        _price_stays(book, price)
        book.findings.refuse()
        _decide(change, ChangeOrder.State.APPROVED, on, note)
        Job.objects.filter(pk=job.pk).update(price_usd=price)
        job.refresh_from_db()
        book.write("change_approved", on, number=change.number, amount=usd(change.amount_usd), price=usd(price))
    return change


def drop_change(*, change: ChangeOrder, actor: Person, on: date, reason: str) -> ChangeOrder:
    """The customer doesn't want it, or it was a slip; the row stays."""
    job = change.job
    with recording(job, actor, OFFICE) as book:
        _decided_on(book, job, change, on)
        book.findings.need("reason", reason, "Say why it is dropped.")
        book.findings.refuse()
        _decide(change, ChangeOrder.State.DROPPED, on, reason)
        book.write("change_dropped", on, number=change.number)
    return change


def signed(book: Book) -> bool:
    return "contract_signed" in book.facts.marks


def _decided_on(book: Book, job: Job, change: ChangeOrder, on: date) -> None:
    if book.findings.happened(job, on):
        book.findings.not_before(on, change.proposed_on, "it was proposed")


def _price_stays(book: Book, price: Decimal) -> None:
    if not 0 < price <= MOST_USD:
        book.findings.add("amount_usd", f"The price would be {usd(price)}: it must stay above 0.")


def _decide(change: ChangeOrder, state: str, on: date, note: str) -> None:
    open_ = ChangeOrder.objects.filter(pk=change.pk, state=ChangeOrder.State.PROPOSED)
    written_once(open_.update(state=state, decided_on=on, decision_note=note.strip()))
    change.refresh_from_db()
