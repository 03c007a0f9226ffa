"""People's decisions about e-mail: whether a customer wants any, and what becomes of one that could not be sent."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone

from projects.actions import outbox
from projects.actions.findings import Findings
from projects.actions.recording import recording, written_once
from projects.actions.roles import OFFICE, require
from projects.models import Customer, Job, Message, Person

OPEN = (Message.Status.QUEUED, Message.Status.FAILED)


def set_email_updates(*, job: Job, actor: Person | None, wanted: bool) -> None:
    """Whether the job's customer is written to when it moves; ``actor`` None: the customer, by the letter's link."""
    with recording(job, actor, OFFICE, public=True, closed_too=True) as book:
        if job.customer.email_updates == wanted:
            book.unchanged()
            return
        Customer.objects.filter(pk=job.customer_id).update(email_updates=wanted)
        job.customer.email_updates = wanted
        if not wanted:
            waiting = Message.objects.filter(job__customer=job.customer_id, status__in=OPEN)
            waiting.update(status=Message.Status.STOPPED, last_error="The customer wants no e-mail.")
        book.write("mail_resumed" if wanted else "mail_stopped")


def send_again(*, actor: Person, message: Message) -> None:
    """Puts a message that failed back into the outbox."""
    require(actor, OFFICE)
    findings = Findings()
    if message.job_id and not message.job.customer.email_updates:
        findings.add("", "The customer wants no e-mail.")
    if message.status not in OPEN:
        findings.add("", "Only a message that waits or failed can be sent again.")
    findings.refuse()
    with transaction.atomic():
        failed = Message.objects.filter(pk=message.pk, status__in=OPEN)
        now = timezone.now()
        written_once(failed.update(status=Message.Status.QUEUED, attempts=0, next_try_at=now, last_error=""))
        transaction.on_commit(outbox.wake)


def stop_message(*, actor: Person, message: Message) -> None:
    """It won't be sent."""
    require(actor, OFFICE)
    findings = Findings()
    stopped = Message.objects.filter(pk=message.pk, status__in=OPEN).update(status=Message.Status.STOPPED)
    if not stopped:
        findings.add("", "Only a message that waits or failed can be stopped.")
    findings.refuse()
