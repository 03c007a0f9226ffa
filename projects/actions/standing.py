"""The cached standing on the job row, and the only function that writes it.

Cached is what stays true until the next fact: stage and since when, next step, whom it waits on, due date, gates.
How late something is, or "day 6 of 10 in plan review", depends on today and is computed when the page is drawn.
What moves with the calendar alone: what falls due presses more than it did, a permit expires, a visit comes near. The
row says from which day on (``fresh_until``), and ``turn_day`` refreshes those rows: one query if there are none.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from projects.actions import search_terms
from projects.actions.facts import facts_of, facts_of_many
from projects.actions.findings import today as office_today
from projects.models import Job, Permit
from projects.route.facts import JobFacts
from projects.route.requirements.service import VISIT_AHEAD_DAYS, visit_near
from projects.route.standing import standing
from projects.route.standing_types import Standing
from projects.words import plain

BOOKINGS = frozenset({"visit_booked", "install_booked"})
"""Their day lies ahead: it says nothing about since when."""
CREW_PARTIES = frozenset({"crew", "electrician"})


def standing_of(job: Job, today: date | None = None) -> Standing:
    return standing(facts_of(job, today))


def refresh(job: Job) -> Standing:
    """Recomputes the job's standing and writes it on the row and the instance."""
    facts = facts_of(job)
    answer = standing(facts)
    numbers = Permit.objects.filter(job=job).exclude(number="").values_list("number", flat=True)
    _write(job, cache_of(job, facts, answer, numbers))
    return answer


def cache_of(job: Job, facts: JobFacts, answer: Standing, permit_numbers: Iterable[str]) -> dict[str, Any]:
    """The cached columns as the facts want them."""
    steps = answer.next_steps if not job.outcome else ()
    return {
        "stage": answer.stage,
        "stage_since": stage_since(facts, answer),
        "next_step": "" if job.outcome else _shortened(answer.next_step, 200),
        "next_key": steps[0].key if steps else "",
        "waiting_on": "" if job.outcome else answer.waiting_on or "",
        "waiting_on_name": "" if job.outcome else _shortened(answer.waiting_on_name, 80),
        "due_on": None if job.outcome else answer.due_on,
        "crew_steps": sum(1 for step in steps if step.party in CREW_PARTIES),
        "gates": [[gate.state, gate.key] for gate in answer.gates],
        "fresh_until": None if job.outcome else fresh_until(facts, answer),
        "search_text": search_text(job, permit_numbers),
        "household_key": plain(job.customer.name)[:120],
    }


def stage_since(facts: JobFacts, answer: Standing) -> date:
    """When the stages before the current one were done: the latest day among their facts, else the lead's.

    In service, where years may lie between, it is since when something is open again, where something is.
    """
    if answer.in_service and facts.claims:
        return min(claim.reported_on for claim in facts.claims)
    if answer.in_service and (near := visit_near(facts)):
        return near - timedelta(days=VISIT_AHEAD_DAYS)
    days = [timezone.localdate(facts.received_at)]
    for requirement in answer.requirements:
        if requirement.stage == answer.stage and not answer.in_service:
            break
        if requirement.met_on and requirement.key not in BOOKINGS:
            days.append(requirement.met_on)
    return max(days)


def fresh_until(facts: JobFacts, answer: Standing) -> date | None:
    """The first day after today on which the same facts may give another next step."""
    days = [step.due_on for step in answer.next_steps if step.due_on]
    days += [permit.expires_on + timedelta(days=1) for permit in facts.permits if permit.expires_on]
    days += [visit - timedelta(days=VISIT_AHEAD_DAYS) for visit in facts.service_visits]
    return min((day for day in days if day > facts.today), default=None)


def turn_day() -> int:
    """Refreshes the jobs whose next step may have moved since the day turned; returns how many were looked at."""
    due = Job.objects.filter(fresh_until__lte=office_today())  # a closed job has no such day
    if not due.exists():
        return 0
    with transaction.atomic():
        jobs = list(due.select_for_update())
        refresh_many(jobs)
    return len(jobs)


def search_text(job: Job, permit_numbers: Iterable[str]) -> str:
    customer, site = job.customer, job.site
    parts = [
        job.label,
        customer.name,
        site.street,
        site.city,
        site.zip_code,
        customer.phone_digits,
        customer.email,
        *sorted(permit_numbers),
    ]
    return "\n".join(part for part in parts if part).lower()


def mend(job: Job) -> None:
    """Recomputes one job under its lock, so that a fact recorded meanwhile isn't overwritten."""
    with transaction.atomic():
        refresh(Job.objects.select_for_update().get(pk=job.pk))


def refresh_many(jobs: Iterable[Job]) -> list[Job]:
    """Recomputes many jobs (a profile changed); returns those whose cached standing was not what it is now."""
    jobs = list(jobs)
    changed = []
    for job, wanted in disagreements(jobs):
        _write(job, wanted)
        changed.append(job)
    return changed


def disagreements(jobs: Iterable[Job]) -> list[tuple[Job, dict[str, Any]]]:
    """Jobs whose cache isn't what their facts say, with the columns as they should be."""
    jobs = list(jobs)
    facts = facts_of_many(jobs)
    numbers: dict[int, list[str]] = {job.pk: [] for job in jobs}
    # Void ones too: a permit is still looked for by the number on its old card.
    for job_id, number in Permit.objects.filter(job__in=numbers).exclude(number="").values_list("job_id", "number"):
        numbers[job_id].append(number)
    found = []
    for job in jobs:
        wanted = cache_of(job, facts[job.pk], standing(facts[job.pk]), numbers[job.pk])
        if any(getattr(job, column) != value for column, value in wanted.items()):
            found.append((job, wanted))
    return found


def _write(job: Job, columns: dict[str, Any]) -> None:
    if job.search_text != columns["search_text"]:
        search_terms.index({job.pk: columns["search_text"]})
    Job.objects.filter(pk=job.pk).update(**columns)
    for column, value in columns.items():
        setattr(job, column, value)


def _shortened(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[: longest - 1] + "…"
