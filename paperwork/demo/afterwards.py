"""What happens to a job beside its route: a household decides against it, a matter is put off."""

from __future__ import annotations

from datetime import date, timedelta

from paperwork.demo.clock import weekday
from paperwork.demo.households import Household
from projects.actions import closing, mailing, snoozing
from projects.models import Job, Person


def lose(*, job: Job, actor: Person) -> None:
    closing.close_job(job=job, actor=actor, outcome="lost", reason="Moves to another county next year.")


def beside_the_route(*, job: Job, household: Household, actor: Person, today: date) -> None:
    """By the household's options, once its story is told."""
    job.refresh_from_db()
    if "put_off" in household.options:
        snoozing.snooze(
            job=job,
            key=job.next_key,
            actor=actor,
            until=weekday(today + timedelta(days=4)),
            reason="They are away until then and asked us to wait.",
        )
    if "no_mail" in household.options:
        mailing.set_email_updates(job=job, actor=None, wanted=False)
