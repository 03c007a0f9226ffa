"""The crews: who belongs to them, on which days they work, how much they can take, and their days off."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db import transaction

from projects.actions.findings import Findings
from projects.actions.form_rows import saved_fields
from projects.actions.roles import OFFICE, require
from projects.models import Crew, CrewDayOff, Person, Role


def save_crew(
    *, actor: Person, instance: Crew | None = None, members: Iterable[Person] | None = None, **fields: Any
) -> Crew:
    """Adds a crew or changes one (fields of Crew; ``members`` None leaves them). None is deleted: ``active`` off."""
    require(actor, OFFICE)
    with transaction.atomic():
        row = instance or Crew()
        findings = Findings()
        if "name" in fields:
            fields["name"] = " ".join(fields["name"].split())
        if not fields.get("working_days", row.working_days):
            findings.add("working_days", "Choose at least one day of the week.")
            fields.pop("working_days")
        saved_fields(findings, row, fields)
        if Crew.objects.filter(name__iexact=row.name).exclude(pk=row.pk).exists():
            findings.add("name", f"There is a crew “{row.name}” already.")
        people = None if members is None else list(members)
        for person in people or ():
            if not person.is_active or person.role == Role.LICENCE_HOLDER:
                findings.add("members", f"{person.name} doesn't sign in here.")
        findings.refuse()
        row.save()
        if people is not None:
            row.members.set(people)
    return row


def add_day_off(*, actor: Person, crew: Crew, on: date, reason: str = "") -> CrewDayOff:
    """The crew doesn't work on that day. What is booked there stays, and the calendar says that it clashes."""
    require(actor, OFFICE)
    findings = Findings()
    if len(reason.strip()) > 80:
        findings.add("reason", "At most 80 characters.")
    if crew.days_off.filter(on=on).exists():
        findings.add("on", "The crew is off on that day already.")
    findings.refuse()
    return CrewDayOff.objects.create(crew=crew, on=on, reason=reason.strip())


def remove_day_off(*, actor: Person, day_off: CrewDayOff) -> None:
    require(actor, OFFICE)
    day_off.delete()
