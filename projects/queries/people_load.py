"""How many open jobs each person of the office has in hand, and how many of those are late."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Q

from projects.actions.findings import today as office_today
from projects.models import Person
from projects.queries.pipeline import under_way


@dataclass(frozen=True)
class PersonLoad:
    name: str
    pk: int
    """0: nobody's."""
    jobs: int
    late: int


def people_load(today: date | None = None) -> list[PersonLoad]:
    """Those with late jobs first, then those with most. Two queries."""
    today = today or office_today()
    rows = list(
        under_way()
        .values("assigned_to")
        .annotate(jobs=Count("pk"), late=Count("pk", filter=Q(due_on__lt=today)))
        .order_by("-late", "-jobs", "assigned_to")
    )
    names = {person.pk: person.name for person in Person.objects.filter(pk__in=[row["assigned_to"] for row in rows])}
    return [
        PersonLoad(names.get(row["assigned_to"], "Nobody’s"), row["assigned_to"] or 0, row["jobs"], row["late"])
        for row in rows
    ]
