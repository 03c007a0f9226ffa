"""The job journal: who did what and when. Append-only (triggers of the database refuse changes)."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class JournalEntry(models.Model):
    """``kind`` is one of ``projects.actions.journal.KINDS``; ``data`` holds references and plain values, never personal
    data that might have to be removed later."""

    job = models.ForeignKey("Job", on_delete=models.PROTECT, related_name="journal")
    kind = models.CharField(max_length=40)
    data = models.JSONField(default=dict)
    actor = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="journal"
    )
    """None: the homeowner, through a public page."""
    at = models.DateTimeField(auto_now_add=True)
    effective_on = models.DateField(null=True, blank=True)
    """The day on which the recorded thing happened, where that isn't the day of recording."""

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "journal entries"
        indexes = [models.Index(fields=["job", "-id"])]

    def __str__(self) -> str:
        return f"{self.kind} ({self.at:%Y-%m-%d})"
