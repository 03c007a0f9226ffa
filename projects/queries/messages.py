"""The outbox as pages show it."""

from __future__ import annotations

from django.db.models import Count, QuerySet

from projects.models import Job, Message

SHOWN = 60
TROUBLED = (Message.Status.FAILED, Message.Status.SENDING)


def outbox_rows(status: str = "") -> QuerySet[Message]:
    """To customers, the newest first; ``status`` one of Message.Status, or empty for all."""
    rows = Message.objects.exclude(job=None).select_related("job__customer").order_by("-queued_at", "-id")
    return rows.filter(status=status) if status in Message.Status.values else rows


def outbox_counts() -> dict[str, int]:
    found = Message.objects.exclude(job=None).order_by().values("status").annotate(count=Count("pk"))
    return {row["status"]: row["count"] for row in found}


def letters_of(job: Job) -> list[Message]:
    return list(job.messages.select_related("job__customer").order_by("-queued_at", "-id")[:SHOWN])
