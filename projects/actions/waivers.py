"""The owner's decisions to go on without a requirement. The holds that protect people can't be waived."""

from __future__ import annotations

from django.utils import timezone

from projects.actions.findings import today
from projects.actions.recording import recording, written_once
from projects.actions.roles import OWNER
from projects.models import Job, Person, Waiver
from projects.route.holds import waiver_problems
from projects.route.requirements import REQUIREMENT_BY_KEY


def waive(*, job: Job, key: str, actor: Person, reason: str) -> Waiver:
    """The reason stays in the journal for good."""
    with recording(job, actor, OWNER) as book:
        book.findings.need("reason", reason, "Write down why the job may go on without it.")
        book.findings.extend("key", waiver_problems(book.facts, key))
        book.findings.refuse()
        sentence = REQUIREMENT_BY_KEY[key].sentence(book.facts).rstrip(".") + "."
        waiver = Waiver.objects.create(job=job, key=key, reason=reason.strip(), on=today(), waived_by=actor)
        book.write("waived", key=key, requirement=sentence, reason=reason.strip())
    return waiver


def withdraw_waiver(*, job: Job, key: str, actor: Person) -> None:
    with recording(job, actor, OWNER) as book:
        if key not in book.facts.waivers:
            book.findings.add("key", "That is not waived.")
        book.findings.refuse()
        standing = Waiver.objects.filter(job=job, key=key, withdrawn_at=None)
        written_once(standing.update(withdrawn_at=timezone.now()))
        requirement = REQUIREMENT_BY_KEY.get(key)
        sentence = requirement.sentence(book.facts).rstrip(".") + "." if requirement else key
        book.write("waiver_withdrawn", key=key, requirement=sentence)
