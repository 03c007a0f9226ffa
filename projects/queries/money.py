"""What one job's money sheet shows, what all jobs owe, and what may be invoiced now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import DecimalField, Exists, F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from projects.actions.facts import facts_of_many
from projects.actions.ledger import InvoiceLine, Ledger, ledger_of, ledgers_of
from projects.actions.schedule import Part, parts_of, terms_of, usual_terms
from projects.actions.standing import standing_of
from projects.models import (
    ChangeOrder,
    CreditNote,
    FinancingApplication,
    Invoice,
    Job,
    JobMark,
    Payment,
    PaymentMilestone,
)
from projects.models.payment import MilestoneTerms
from projects.route.amounts import AGES, ZERO, age
from projects.route.standing import standing
from projects.route.standing_types import Standing

MOST_LOOKED_AT = 300
"""Jobs whose facts are read for what may be invoiced now: those that moved last."""
HALF_A_CENT = Decimal("0.005")
"""SQLite adds decimals as floats: below that a sum is 0. The figures shown are added in Python, exactly."""


@dataclass(frozen=True)
class JobMoney:
    ledger: Ledger
    parts: tuple[Part, ...]
    changes: tuple[ChangeOrder, ...]
    financing: tuple[FinancingApplication, ...]
    """Newest first, with ``conditions`` loaded."""
    contract_usd: Decimal | None
    """Today's price less the approved change orders."""
    changed_usd: Decimal

    @property
    def due(self) -> tuple[Part, ...]:
        return tuple(part for part in self.parts if part.state == "due")

    @property
    def to_come_usd(self) -> Decimal:
        """Of the price, what is not invoiced yet."""
        return sum((part.amount_usd for part in self.parts if part.invoice is None), ZERO)


def job_money(job: Job, answer: Standing | None = None) -> JobMoney:
    ledger = ledger_of(job)
    changes = tuple(ChangeOrder.objects.filter(job=job).select_related("design"))
    changed = sum((c.amount_usd for c in changes if c.state == ChangeOrder.State.APPROVED), ZERO)
    parts = parts_of(job.price_usd, terms_of(job), ledger, answer or standing_of(job))
    applications = FinancingApplication.objects.filter(job=job).prefetch_related("conditions").order_by("-pk")
    return JobMoney(
        ledger=ledger,
        parts=tuple(parts),
        changes=changes,
        financing=tuple(applications),
        contract_usd=None if job.price_usd is None else job.price_usd - changed,
        changed_usd=changed,
    )


@dataclass(frozen=True)
class Owed:
    job: Job
    line: InvoiceLine
    late_days: int


@dataclass(frozen=True)
class AgeLine:
    title: str
    amount_usd: Decimal
    invoices: int


def owed(today: date) -> list[Owed]:
    """Every open invoice, the one due longest ago first; closed jobs too. Four queries, however many jobs."""
    jobs = {job.pk: job for job in _owing().select_related("customer", "site")}
    found = [
        Owed(jobs[pk], line, line.late_days(today))
        for pk, ledger in ledgers_of(jobs).items()
        for line in ledger.invoices
        if line.open_usd
    ]
    return sorted(found, key=lambda row: (row.line.invoice.due_on, row.line.invoice.number))


def ages(rows: Sequence[Owed], today: date) -> list[AgeLine]:
    """Every step of ``AGES``, empty ones too."""
    by_age: dict[int, list[Decimal]] = {}
    for row in rows:
        by_age.setdefault(age(row.line.invoice.due_on, today), []).append(row.line.open_usd)
    return [AgeLine(title, sum(by_age.get(n, []), ZERO), len(by_age.get(n, []))) for n, (title, _) in enumerate(AGES)]


@dataclass(frozen=True)
class ToInvoice:
    job: Job
    part: Part


def to_invoice() -> list[ToInvoice]:
    """Parts of the price whose fact is there and that nobody has asked for yet, the longest reached first.

    Of open jobs with a signed contract and a price (the ``MOST_LOOKED_AT`` that moved last).
    """
    jobs, _ = jobs_to_come()
    found = [ToInvoice(row.job, part) for row in parts_of_many(jobs) for part in row.parts if part.state == "due"]
    return sorted(found, key=lambda row: (_day(row.part), row.job.number))


def jobs_to_come() -> tuple[list[Job], int]:
    """Open jobs with a signed contract whose price is not wholly invoiced, the ``MOST_LOOKED_AT`` that moved last; and
    how many more there are."""
    signed = JobMark.objects.filter(job=OuterRef("pk"), key="contract_signed", withdrawn_at=None)
    jobs = _with_sums().filter(Exists(signed), outcome="", price_usd__isnull=False)
    jobs = jobs.filter(price_usd__gt=F("billed") - F("credited") + HALF_A_CENT)
    newest = jobs.select_related("customer", "site").order_by(F("stage_since").desc(nulls_last=True), "-pk")
    shown = list(newest[:MOST_LOOKED_AT])
    return shown, jobs.count() - len(shown) if len(shown) == MOST_LOOKED_AT else 0


def _day(part: Part) -> date:
    return (part.reached.on if part.reached else None) or date.max


@dataclass(frozen=True)
class JobParts:
    job: Job
    parts: list[Part]
    credit_usd: Decimal
    """Received beyond what is invoiced."""


def parts_of_many(jobs: Sequence[Job]) -> list[JobParts]:
    """Parts of the price of many jobs, with a constant number of queries."""
    facts, ledgers, usual = facts_of_many(jobs), ledgers_of(job.pk for job in jobs), usual_terms()
    own: dict[int, list[MilestoneTerms]] = {}
    for row in PaymentMilestone.objects.filter(job__in=jobs):
        own.setdefault(row.job_id, []).append(row)
    found = []
    for job in jobs:
        terms, ledger = own.get(job.pk, usual), ledgers[job.pk]
        parts = parts_of(job.price_usd, terms, ledger, standing(facts[job.pk]))
        found.append(JobParts(job, parts, ledger.credit_usd))
    return found


def _owing() -> QuerySet[Job]:
    """Jobs with something open on their invoices."""
    jobs = _with_sums().filter(pk__in=Invoice.objects.order_by().values("job"))
    return jobs.filter(billed__gt=F("credited") + F("received") - F("refunded") + HALF_A_CENT)


def _with_sums() -> QuerySet[Job]:
    standing_payments = Payment.objects.filter(withdrawn_at=None)
    return Job.objects.annotate(
        billed=_sum(Invoice.objects.all()),
        credited=_sum(CreditNote.objects.all()),
        received=_sum(standing_payments.filter(kind=Payment.Kind.RECEIVED)),
        refunded=_sum(standing_payments.filter(kind=Payment.Kind.REFUND)),
    )


def _sum(rows: QuerySet) -> Coalesce:
    of_job = rows.filter(job=OuterRef("pk")).order_by().values("job").annotate(sum=Sum("amount_usd")).values("sum")
    money = DecimalField(max_digits=12, decimal_places=2)
    return Coalesce(Subquery(of_job, output_field=money), ZERO, output_field=money)
