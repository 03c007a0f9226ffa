"""What the office counts with over the years, and the incentives it has looked up for a job."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from projects.actions.findings import Findings, today
from projects.actions.form_rows import saved_fields
from projects.actions.recording import recording, written_once
from projects.actions.roles import OFFICE, require
from projects.models import Job, JobIncentive, MoneyRules, Person


def save_money_rules(*, actor: Person, **fields: Any) -> MoneyRules:
    """Sets the fields of MoneyRules; studies already run say that they no longer hold."""
    require(actor, OFFICE)
    with transaction.atomic():
        row, findings = MoneyRules.current(), Findings()
        saved_fields(findings, row, fields, exclude=["id"])
        findings.refuse()
        row.save()
    return row


def enter_incentive(
    *,
    job: Job,
    actor: Person,
    name: str,
    usd: Decimal,
    month: int = 12,
    source: str,
    entered_on: date | None = None,
    expires_on: date | None = None,
) -> JobIncentive:
    """Money from outside that the office has looked up for this household; it counts in studies until it ends."""
    with recording(job, actor, OFFICE) as book:
        findings, on = book.findings, entered_on or today()
        findings.happened(job, on, "entered_on")
        row = JobIncentive(job=job, entered_by=actor)
        given = {"name": name, "usd": usd, "month": month, "source": source}
        saved_fields(findings, row, {**given, "entered_on": on, "expires_on": expires_on})
        if usd is not None and usd <= 0:
            findings.add("usd", "Dollars, above 0.")
        if expires_on is not None and expires_on < on:
            findings.add("expires_on", "It ended before it was entered.")
        findings.refuse()
        row.save()
        book.write("incentive_entered", on, name=row.name, usd=f"{row.usd:,.2f}", incentive=row.pk)
    return row


def withdraw_incentive(*, job: Job, actor: Person, incentive_id: int) -> None:
    """It no longer counts (not granted, ended early); the row stays."""
    with recording(job, actor, OFFICE) as book:
        row = JobIncentive.objects.filter(job=job, pk=incentive_id, withdrawn_at=None).first()
        if row is None:
            book.findings.add("", "That incentive is no longer there.")
        book.findings.refuse()
        assert row is not None
        standing = JobIncentive.objects.filter(pk=row.pk, withdrawn_at=None)
        written_once(standing.update(withdrawn_at=timezone.now()))
        book.write("incentive_withdrawn", name=row.name, incentive=row.pk)
