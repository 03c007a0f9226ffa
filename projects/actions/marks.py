"""Plain facts of the route: recorded with one button, taken back with a reason."""

from __future__ import annotations

from datetime import date

from django.utils import timezone

from projects.actions.recording import recording, written_once
from projects.actions.roles import FIELD, require
from projects.actions.route_checks import follows, must_be_open
from projects.actions.schedule import fix_terms
from projects.actions.warranty_terms import drop_warranties, write_warranties
from projects.models import Job, JobMark, Person
from projects.route.holds import mark_problems
from projects.route.marks import MARKS
from projects.route.requirements import MARK_OF_REQUIREMENT

REQUIREMENT_OF_MARK = {mark: requirement for requirement, mark in MARK_OF_REQUIREMENT.items()}


def record_mark(*, job: Job, key: str, on: date, actor: Person, note: str = "") -> JobMark:
    """Records that ``key`` (of ``projects.route.marks.MARKS``) became true on a day."""
    rule = MARKS.get(key)
    with recording(job, actor, rule.roles if rule else FIELD) as book:
        if rule is None:
            book.findings.add("key", "There is no such fact to record.")
            book.findings.refuse()
        requirement = REQUIREMENT_OF_MARK[key]
        if book.findings.happened(job, on):
            follows(book, requirement, on)
        must_be_open(book, requirement)
        book.findings.extend("", mark_problems(book.facts, key))
        book.findings.refuse()
        mark = JobMark.objects.create(job=job, key=key, on=on, note=note.strip(), recorded_by=actor)
        if key == "warranty_registered":
            write_warranties(job, on)
        elif key == "contract_signed":
            fix_terms(job)
        book.write("mark_recorded", on, mark=key)
    return mark


def withdraw_mark(*, job: Job, key: str, actor: Person, reason: str) -> None:
    """Takes a fact back that was recorded by mistake; the row stays, with the reason."""
    rule = MARKS.get(key)
    if rule is not None:
        require(actor, rule.roles)
    with recording(job, actor, FIELD) as book:
        book.findings.need("reason", reason, "Say why it is taken back.")
        if key not in book.facts.marks:
            book.findings.add("key", "That is not recorded, so there is nothing to take back.")
        book.findings.refuse()
        written_once(
            JobMark.objects.filter(job=job, key=key, withdrawn_at=None).update(
                withdrawn_at=timezone.now(), withdrawn_reason=reason.strip()
            )
        )
        if key == "warranty_registered":
            drop_warranties(job)
        book.write("mark_withdrawn", mark=key)
