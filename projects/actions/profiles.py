"""Profiles of jurisdictions and utilities. A change re-routes their open jobs, and the journals say so."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import transaction

from projects.actions import journal
from projects.actions.findings import Findings
from projects.actions.form_rows import saved_fields
from projects.actions.packet_list import wanted_of
from projects.actions.places_words import checked_state
from projects.actions.roles import OFFICE, require
from projects.actions.standing import refresh_many, turn_day
from projects.models import Job, Jurisdiction, JurisdictionClosure, Person, Utility


def save_jurisdiction(*, actor: Person, instance: Jurisdiction | None = None, **fields: Any) -> Jurisdiction:
    """Adds a jurisdiction or changes one; ``fields`` are those of Jurisdiction."""
    require(actor, OFFICE)
    with transaction.atomic():
        row = instance or Jurisdiction()
        findings = Findings()
        if "state" in fields:
            fields["state"] = checked_state(findings, fields["state"])
        changed = saved_fields(findings, row, fields)
        if row.off_grid_exempt and not row.off_grid_exemption_rule:
            findings.add("off_grid_exemption_rule", "Name the local rule that exempts off-grid systems.")
        findings.extend("packet_list", wanted_of(row.packet_list)[1])
        for field in row._meta.concrete_fields:
            wrong = {problem.field for problem in findings.found}
            if "_fee_" in field.name and field.name not in wrong and getattr(row, field.name) < 0:
                findings.add(field.name, "0 or more.")
        _name_once(findings, row)
        findings.refuse()
        if changed or row.pk is None:
            row.save()
            _reroute(Job.objects.filter(jurisdiction=row), actor, "jurisdiction", row.pk)
    return row


def save_utility(*, actor: Person, instance: Utility | None = None, **fields: Any) -> Utility:
    require(actor, OFFICE)
    with transaction.atomic():
        row = instance or Utility()
        findings = Findings()
        changed = saved_fields(findings, row, fields)
        for field in ("energy_usd_per_kwh", "export_usd_per_kwh", "fixed_usd_per_month"):
            value = getattr(row, field)
            if field not in [problem.field for problem in findings.found] and float(value) < 0:
                findings.add(field, "0 or more.")
        sizes = ("simplified_up_to_kw", "fast_track_up_to_kw")
        wrong = {problem.field for problem in findings.found}
        if wrong.isdisjoint(sizes) and row.fast_track_up_to_kw < row.simplified_up_to_kw:
            findings.add("fast_track_up_to_kw", "At least as much as the simplified level takes.")
        _name_once(findings, row)
        findings.refuse()
        if changed or row.pk is None:
            row.save()
            _reroute(Job.objects.filter(utility=row), actor, "utility", row.pk)
    return row


def add_closure(*, actor: Person, jurisdiction: Jurisdiction, on: date, reason: str = "") -> JurisdictionClosure:
    """A day on which the jurisdiction's counter is closed, beyond weekends and public holidays."""
    require(actor, OFFICE)
    with transaction.atomic():
        findings = Findings()
        if jurisdiction.closures.filter(on=on).exists():
            findings.add("on", "This day is on the list already.")
        findings.refuse()
        closure = JurisdictionClosure.objects.create(jurisdiction=jurisdiction, on=on, reason=reason.strip()[:80])
        _reroute(Job.objects.filter(jurisdiction=jurisdiction), actor, "jurisdiction", jurisdiction.pk)
    return closure


def remove_closure(*, actor: Person, closure: JurisdictionClosure) -> None:
    require(actor, OFFICE)
    with transaction.atomic():
        jurisdiction_id = closure.jurisdiction_id
        closure.delete()
        _reroute(Job.objects.filter(jurisdiction=jurisdiction_id), actor, "jurisdiction", jurisdiction_id)


def _name_once(findings: Findings, row: Jurisdiction | Utility) -> None:
    if type(row).objects.filter(name__iexact=row.name).exclude(pk=row.pk).exists():
        findings.add("name", f"{row.name} is on the list already.")


def _reroute(jobs: Any, actor: Person, authority: str, pk: int) -> None:
    turn_day()  # what merely fell due is no work of this change
    for job in refresh_many(jobs.filter(outcome="").select_for_update(of=("self",))):
        journal.append(job, actor, "profile_changed", None, {"authority": authority, "id": pk})
