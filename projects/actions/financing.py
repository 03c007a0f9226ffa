"""The customer's loan: applied for, decided by the lender, with the lender's conditions and whose turn each is."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from projects.actions.amounts import checked_usd, usd
from projects.actions.recording import recording, written_once
from projects.actions.roles import OFFICE
from projects.models import FinancingApplication, Job, LenderCondition, Person

State = FinancingApplication.State
MOST_RATE = Decimal("0.36")
"""36 % a year: many states cap consumer loans there or below (from memory); a higher figure is most likely a slip."""
MOST_MONTHS = 480


def submit_financing(
    *,
    job: Job,
    actor: Person,
    on: date,
    lender: str,
    amount_usd: Decimal,
    rate_per_year: Decimal,
    months: int,
    reference: str = "",
) -> FinancingApplication:
    """The application is with the lender. ``rate_per_year`` is a fraction: 0.075 for 7.5 %."""
    with recording(job, actor, OFFICE) as book:
        book.findings.happened(job, on)
        book.findings.need("lender", lender, "Name the lender.")
        amount = checked_usd(book.findings, "amount_usd", amount_usd)
        if amount is not None and job.price_usd is not None and amount > job.price_usd:
            book.findings.add("amount_usd", f"More than the price of {usd(job.price_usd)}.")
        if rate_per_year is None or not rate_per_year.is_finite() or not 0 <= rate_per_year <= MOST_RATE:
            book.findings.add("rate_per_year", f"Between 0 and {MOST_RATE:.0%} a year.")
        if months is None or not 1 <= months <= MOST_MONTHS:
            book.findings.add("months", f"Between 1 and {MOST_MONTHS} months.")
        living = FinancingApplication.objects.filter(job=job, state__in=[State.SUBMITTED, State.APPROVED]).first()
        if living is not None:
            book.findings.add("", f"An application is with {living.lender} already: record its end first.")
        book.findings.refuse()
        row = FinancingApplication.objects.create(
            job=job,
            lender=lender.strip()[:80],
            reference=reference.strip()[:60],
            amount_usd=amount,
            rate_per_year=rate_per_year,
            months=months,
            submitted_on=on,
            recorded_by=actor,
        )
        book.write("financing_submitted", on, lender=row.lender, amount=usd(row.amount_usd))
    return row


def decide_financing(
    *, application: FinancingApplication, actor: Person, on: date, state: str, note: str = ""
) -> FinancingApplication:
    """What became of it: "approved", "declined" or "withdrawn". An approved one may still be withdrawn."""
    job = application.job
    with recording(job, actor, OFFICE) as book:
        if state not in (State.APPROVED, State.DECLINED, State.WITHDRAWN):
            book.findings.add("state", "Choose what became of it.")
        if book.findings.happened(job, on):
            book.findings.not_before(on, application.submitted_on, "it was submitted")
        if state != State.APPROVED:
            book.findings.need("note", note, "Say why.")
        book.findings.refuse()
        before = [State.SUBMITTED] if state != State.WITHDRAWN else [State.SUBMITTED, State.APPROVED]
        living = FinancingApplication.objects.filter(pk=application.pk, state__in=before)
        written_once(living.update(state=state, decided_on=on, note=note.strip()))
        application.refresh_from_db()
        book.write("financing_decided", on, lender=application.lender, decision=State(state).label.lower())
    return application


def ask_condition(
    *, application: FinancingApplication, actor: Person, on: date, text: str, party: str
) -> LenderCondition:
    """The lender asks for something before it pays; ``party``: whose turn that is."""
    job = application.job
    with recording(job, actor, OFFICE) as book:
        if book.findings.happened(job, on):
            book.findings.not_before(on, application.submitted_on, "the application was submitted")
        book.findings.need("text", text, "Say what the lender asks for.")
        if party not in LenderCondition.Party.values:
            book.findings.add("party", "Choose whose turn it is.")
        if application.state not in (State.SUBMITTED, State.APPROVED):
            book.findings.add("", "This application has ended.")
        book.findings.refuse()
        row = LenderCondition.objects.create(application=application, text=text.strip(), party=party, asked_on=on)
        book.write("condition_asked", on, party=row.get_party_display().lower())
    return row


def meet_condition(*, condition: LenderCondition, actor: Person, on: date, note: str = "") -> LenderCondition:
    job = condition.application.job
    with recording(job, actor, OFFICE) as book:
        if book.findings.happened(job, on):
            book.findings.not_before(on, condition.asked_on, "the lender asked")
        book.findings.refuse()
        open_ = LenderCondition.objects.filter(pk=condition.pk, met_on=None)
        written_once(open_.update(met_on=on, met_note=note.strip(), met_by=actor))
        condition.refresh_from_db()
        left = LenderCondition.objects.filter(application=condition.application, met_on=None).count()
        book.write("condition_met", on, open=left)
    return condition
