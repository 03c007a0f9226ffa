"""A search for designs: what was wished for, and what the catalogue allows on the house."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone


class DesignSearch(models.Model):
    class State(models.TextChoices):
        RUNNING = "running", "Running"
        DONE = "done", "Done"
        FAILED = "failed", "Failed"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="searches")
    state = models.CharField(max_length=8, choices=State.choices, default=State.RUNNING)
    progress = models.FloatField(default=0)
    progress_words = models.CharField(max_length=120, blank=True)
    problem = models.TextField(blank=True)
    problem_field = models.CharField(max_length=120, blank=True)
    wish = models.JSONField(default=dict)
    """{"bill_offset", "ride_through_share", "carried_share": 0 to 1, "autonomy_days": number,
    "most_usd": number or null}; what a search of an older day did not ask is not in it.
    """
    asked = models.JSONField(default=dict)
    """What the answer hangs on: site, loads, prices and the catalogue as they stood; compared later."""
    result = models.JSONField(default=dict)
    """sizing's SearchResult as a dict, with the catalogue's ids."""
    heard_at = models.DateTimeField(default=timezone.now)
    attempts = models.PositiveIntegerField(default=1)
    started_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "design searches"
        indexes = [models.Index(fields=["job", "-id"])]

    def __str__(self) -> str:
        return f"Search {self.pk} of job {self.job_id}"
