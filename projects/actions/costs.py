"""What a job costs beyond its design and its permits: hours, subcontractors, fees."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.utils import timezone

from projects.actions.amounts import checked_usd, usd
from projects.actions.recording import recording, written_once
from projects.actions.roles import OFFICE
from projects.models import Job, JobCost, PaymentTerms, Person
from projects.route.amounts import cents

MOST_HOURS = Decimal(5000)


def record_cost(
    *,
    job: Job,
    actor: Person,
    on: date,
    kind: str,
    what: str,
    amount_usd: Decimal | None = None,
    hours: Decimal | None = None,
) -> JobCost:
    """Labor is recorded in ``hours`` at the office's rate of today; everything else as an amount."""
    with recording(job, actor, OFFICE, closed_too=True) as book:
        book.findings.happened(job, on)
        book.findings.need("what", what, "Say what it was.")
        rate = None
        if kind not in JobCost.Kind.values:
            book.findings.add("kind", "Choose what kind of cost it is.")
        if kind == JobCost.Kind.LABOR:
            rate = PaymentTerms.current().labor_usd_per_hour
            if amount_usd is not None:
                book.findings.add("amount_usd", "Labor is recorded in hours; leave the amount empty.")
            if hours is None or not hours.is_finite() or not 0 < hours <= MOST_HOURS:
                book.findings.add("hours", f"Hours of work, above 0 and at most {MOST_HOURS}.")
            elif hours != hours.quantize(Decimal("0.01")):
                book.findings.add("hours", "Two decimals at most.")
            else:
                amount_usd = cents(hours * rate)
                if amount_usd == 0:
                    book.findings.add("hours", "The office's rate for an hour is 0: set it first.")
        else:
            if hours is not None:
                book.findings.add("hours", "Hours are for labor alone.")
            amount_usd = checked_usd(book.findings, "amount_usd", amount_usd)
        book.findings.refuse()
        row = JobCost.objects.create(
            job=job,
            kind=kind,
            what=what.strip()[:120],
            hours=hours,
            usd_per_hour=rate,
            amount_usd=amount_usd,
            on=on,
            recorded_by=actor,
        )
        book.write("cost_recorded", on, cost=row.get_kind_display().lower(), amount=usd(row.amount_usd))
    return row


def withdraw_cost(*, cost: JobCost, actor: Person, reason: str) -> JobCost:
    job = cost.job
    with recording(job, actor, OFFICE, closed_too=True) as book:
        book.findings.need("reason", reason, "Say why it no longer counts.")
        book.findings.refuse()
        open_ = JobCost.objects.filter(pk=cost.pk, withdrawn_at=None)
        written_once(open_.update(withdrawn_at=timezone.now(), withdrawn_reason=reason.strip()))
        cost.refresh_from_db()
        book.write("cost_withdrawn", amount=usd(cost.amount_usd))
    return cost
