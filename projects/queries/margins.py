"""What is left of a job's price: the owner's figures."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Exists, F, Max, OuterRef, Q, Subquery

from projects.models import Design, Job, JobCost, JobMark, PermitSubmission
from projects.route.amounts import ZERO


@dataclass(frozen=True)
class CostLine:
    title: str
    amount_usd: Decimal
    estimated: bool
    """By the catalogue's price of the design, since nobody has recorded what was paid."""


@dataclass(frozen=True)
class Margin:
    price_usd: Decimal | None
    lines: tuple[CostLine, ...]
    """Only what is not 0."""

    @property
    def cost_usd(self) -> Decimal:
        return sum((line.amount_usd for line in self.lines), ZERO)

    @property
    def margin_usd(self) -> Decimal | None:
        return None if self.price_usd is None else self.price_usd - self.cost_usd

    @property
    def percent(self) -> Decimal | None:
        """Of the price, to a tenth."""
        if not self.price_usd or self.margin_usd is None:
            return None
        return (self.margin_usd / self.price_usd * 100).quantize(Decimal("0.1"))

    @property
    def labor_missing(self) -> bool:
        return all(line.title != JobCost.Kind.LABOR.label for line in self.lines)


def job_margin(job: Job) -> Margin:
    return margins_of([job])[job.pk]


def margins_of(jobs: Sequence[Job]) -> dict[int, Margin]:
    """Three queries, however many jobs."""
    ids = [job.pk for job in jobs]
    entered: dict[int, dict[str, Decimal]] = defaultdict(lambda: defaultdict(lambda: ZERO))
    for pk, kind, amount in JobCost.objects.filter(job__in=ids, withdrawn_at=None).values_list(
        "job_id", "kind", "amount_usd"
    ):
        entered[pk][kind] += amount
    fees: dict[int, Decimal] = defaultdict(lambda: ZERO)
    paid = PermitSubmission.objects.filter(permit__job__in=ids, fee_usd__isnull=False)
    for pk, fee in paid.values_list("permit__job_id", "fee_usd"):
        fees[pk] += fee
    parts = ("module", "inverter", "battery", "generator")
    newest = Design.objects.filter(job__in=ids).order_by().values("job").annotate(newest=Max("revision"))
    latest = newest.filter(job=OuterRef("job")).values("newest")
    designs = Design.objects.filter(job__in=ids).filter(Q(revision=Subquery(latest))).select_related(*parts)
    by_job = {design.job_id: design for design in designs}
    return {job.pk: _margin(job, entered[job.pk], fees[job.pk], by_job.get(job.pk)) for job in jobs}


def _margin(job: Job, entered: dict[str, Decimal], fees: Decimal, design: Design | None) -> Margin:
    lines = []
    for kind in JobCost.Kind:
        amount, estimated = entered.get(kind.value, ZERO), False
        if kind == JobCost.Kind.EQUIPMENT and not amount and design is not None:
            amount, estimated = catalogue_usd(design), True
        if kind == JobCost.Kind.FEES:
            amount += fees
        if amount:
            lines.append(CostLine(kind.label, amount, estimated))
    return Margin(job.price_usd, tuple(lines))


def catalogue_usd(design: Design) -> Decimal:
    """What the design's equipment costs by the catalogue's prices of today; racking, wire and small parts aside."""
    total = design.module.price_usd * design.module_count + design.inverter.price_usd * design.inverter_count
    if design.battery:
        total += design.battery.price_usd * design.battery_count
    if design.generator:
        total += design.generator.price_usd
    return total


@dataclass(frozen=True)
class JobMargin:
    job: Job
    margin: Margin


MOST_SHOWN = 200


def margin_list() -> list[JobMargin]:
    """Jobs with a signed contract and a price, the thinnest margin first (the ``MOST_SHOWN`` that moved last)."""
    signed = JobMark.objects.filter(job=OuterRef("pk"), key="contract_signed", withdrawn_at=None)
    jobs = Job.objects.filter(Exists(signed), price_usd__isnull=False).exclude(outcome=Job.Outcome.LOST)
    shown = list(jobs.select_related("customer").order_by(F("stage_since").desc(nulls_last=True), "-pk")[:MOST_SHOWN])
    found = margins_of(shown)
    rows = [JobMargin(job, found[job.pk]) for job in shown]
    return sorted(rows, key=lambda row: (row.margin.percent or ZERO, row.job.number))
