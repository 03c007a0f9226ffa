"""E-mail that goes out, or should: to a job's customer, or to somebody of the office. One row per fact told."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone


class Message(models.Model):
    class Status(models.TextChoices):
        QUEUED = "queued", "Waits to be sent"
        SENDING = "sending", "Being sent"
        SENT = "sent", "Sent"
        FAILED = "failed", "Not sent"
        STOPPED = "stopped", "Stopped"
        SUPERSEDED = "superseded", "Overtaken by a newer one"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, null=True, blank=True, related_name="messages")
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, null=True, blank=True, related_name="messages"
    )
    kind = models.CharField(max_length=20)
    fact = models.CharField(max_length=80)
    """What is told: one message per fact, ever."""
    data = models.JSONField(default=dict)
    """Plain values, frozen when the fact was recorded: whenever it is sent, it says the same."""
    language = models.CharField(max_length=2, default="en")
    to_address = models.EmailField(blank=True)
    subject = models.CharField(max_length=160, blank=True)
    text = models.TextField(blank=True)
    status = models.CharField(max_length=10, choices=Status.choices, default=Status.QUEUED)
    attempts = models.PositiveSmallIntegerField(default=0)
    queued_at = models.DateTimeField(default=timezone.now)
    next_try_at = models.DateTimeField(default=timezone.now)
    claimed_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    last_error = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(fields=["status", "next_try_at"]),
            models.Index(fields=["-queued_at", "-id"], name="messages_newest_first"),
        ]
        constraints = [
            models.UniqueConstraint(fields=["job", "fact"], condition=~models.Q(job=None), name="a_job_fact_told_once"),
            models.UniqueConstraint(
                fields=["person", "fact"], condition=~models.Q(person=None), name="a_person_told_once"
            ),
            models.CheckConstraint(
                condition=models.Q(job=None, person__isnull=False) | models.Q(job__isnull=False, person=None),
                name="a_message_has_one_reader",
            ),
        ]

    def __str__(self) -> str:
        return self.subject or self.fact
