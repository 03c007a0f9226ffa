"""A job whose customer can be written to, and what they got, in Django's own mailbox in memory."""

from __future__ import annotations

from datetime import date, timedelta

from django.core import mail
from django.utils import timezone

from projects.actions import scheduling
from projects.mail import sending
from projects.models import Job, Message
from tests.factories import office_person

ADDRESS = "tern@household.example"


def monday(weeks: int = 2) -> date:
    today = timezone.localdate()
    return today + timedelta(days=7 * weeks - today.weekday())


def writable(job: Job, language: str = "en") -> Job:
    """A job whose customer can be written to, with the outbox empty."""
    job.customer.email, job.customer.preferred_language = ADDRESS, language
    job.customer.save()
    Message.objects.all().delete()
    return job


def book(job: Job, on: date | None = None, **more) -> None:
    scheduling.schedule(
        job=job, kind="site_visit", actor=office_person(), on=on or monday(), **{"despite": True, "reason": "x", **more}
    )


def sent() -> list:
    sending.send_waiting()
    return mail.outbox
