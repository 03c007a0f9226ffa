"""The letters of the demo office: what its customers were written, dated as its stories; nothing leaves the house."""

from __future__ import annotations

from django.utils import timezone

from projects.mail.letters import letter
from projects.models import Job, Message

BOUNCED = "The address is refused: 550 no such mailbox"


def post(job: Job, *, bounces: bool = False) -> None:
    """Everything that waits counts as sent at the story's own moment, or as refused by the mail server."""
    for message in Message.objects.filter(job=job, status=Message.Status.QUEUED).select_related("job__customer"):
        written = letter(message)
        message.subject, message.text = written.subject, written.text
        if bounces:
            message.status, message.last_error, message.attempts = Message.Status.FAILED, BOUNCED, 1
        else:
            message.status, message.sent_at = Message.Status.SENT, timezone.now()
            message.to_address = message.job.customer.email
        message.save()
