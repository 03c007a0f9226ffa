"""Schedules of payment: the office's usual one, and a job's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from projects.actions.findings import Findings
from projects.actions.form_rows import saved_fields
from projects.actions.recording import recording
from projects.actions.roles import OFFICE, require
from projects.actions.schedule import fix_terms
from projects.models import DefaultMilestone, Invoice, Job, MilestoneFact, PaymentMilestone, PaymentTerms, Person

MOST_PARTS = 8
HUNDRED = Decimal(100)


@dataclass(frozen=True)
class ScheduleLine:
    title: str
    fact: str
    percent: Decimal | None
    row: int
    """Problems name it: "percent_2" is the second row's."""


def save_payment_terms(
    *, actor: Person, lines: Sequence[ScheduleLine], payment_days: int, labor_usd_per_hour: Decimal
) -> PaymentTerms:
    """The office's usual schedule and terms. Jobs with a signed contract keep the schedule they were signed with."""
    require(actor, OFFICE)
    with transaction.atomic():
        findings = Findings()
        row = PaymentTerms.current()
        fields = {"payment_days": payment_days, "labor_usd_per_hour": labor_usd_per_hour}
        saved_fields(findings, row, fields, exclude=["id"])
        _check(findings, lines)
        findings.refuse()
        row.save()
        DefaultMilestone.objects.all().delete()
        DefaultMilestone.objects.bulk_create(
            DefaultMilestone(order=n, title=line.title.strip(), fact=line.fact, percent=line.percent)
            for n, line in enumerate(lines, start=1)
        )
    return row


def set_schedule(*, job: Job, actor: Person, lines: Sequence[ScheduleLine]) -> list[PaymentMilestone]:
    """The job's own schedule. Parts that were invoiced once stay first and as they are; the others are replaced."""
    with recording(job, actor, OFFICE) as book:
        _check(book.findings, lines)
        kept = [row for row in fix_terms(job) if Invoice.objects.filter(milestone=row).exists()]
        for row, line in zip(kept, lines, strict=False):
            if (line.title.strip(), line.fact, line.percent) != (row.title, row.fact, row.percent):
                book.findings.add(f"title_{line.row}", f"{row.title} is invoiced already and stays as it is.")
        if len(lines) < len(kept):
            book.findings.add("", "Parts that are invoiced already can't be left out.")
        book.findings.refuse()
        PaymentMilestone.objects.filter(job=job).exclude(pk__in=[row.pk for row in kept]).delete()
        for n, row in enumerate(kept, start=1):
            if row.order != n:
                PaymentMilestone.objects.filter(pk=row.pk).update(order=n)
        added = PaymentMilestone.objects.bulk_create(
            PaymentMilestone(job=job, order=n, title=line.title.strip(), fact=line.fact, percent=line.percent)
            for n, line in enumerate(lines[len(kept) :], start=len(kept) + 1)
        )
        book.write("schedule_set", parts=len(lines))
    return [*kept, *added]


def _check(findings: Findings, lines: Sequence[ScheduleLine]) -> None:
    if not lines:
        findings.add("", "At least one part.")
        return
    if len(lines) > MOST_PARTS:
        findings.add("", f"At most {MOST_PARTS} parts.")
    for line in lines:
        if not line.title.strip():
            findings.add(f"title_{line.row}", "Name this part.")
        elif len(line.title.strip()) > 80:
            findings.add(f"title_{line.row}", "At most 80 characters.")
        if line.fact not in MilestoneFact.values:
            findings.add(f"fact_{line.row}", "Choose what makes it due.")
        if line.percent is None or not line.percent.is_finite() or not 0 < line.percent <= HUNDRED:
            findings.add(f"percent_{line.row}", "Between 0 and 100 percent.")
        elif line.percent != line.percent.quantize(Decimal("0.01")):
            findings.add(f"percent_{line.row}", "Two decimals at most.")
    if not findings.found:
        total = sum((line.percent for line in lines if line.percent), Decimal(0))
        if total != HUNDRED:
            findings.add("", f"The parts come to {total.normalize():f} %, not to 100 %.")
