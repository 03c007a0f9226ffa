"""A job that rests for a while: why, since when, and when somebody looks at it again."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Pause(models.Model):
    """Ended ones stay: the days that they took count in no due date and in no forecast."""

    class Cause(models.TextChoices):
        UNDECIDED = "undecided", "The customer is undecided"
        WEATHER = "weather", "Weather"
        MORATORIUM = "moratorium", "The utility takes no applications"
        OTHER = "other", "Another reason"
        CLOSED = "closed", "Closed, and reopened later"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="pauses")
    cause = models.CharField(max_length=12, choices=Cause.choices)
    reason = models.TextField(blank=True)
    on = models.DateField()
    look_again_on = models.DateField()
    paused_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    ended_on = models.DateField(null=True, blank=True)
    """The first day on which the job goes on."""
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["on", "id"]
        constraints = [
            models.UniqueConstraint(fields=["job"], condition=models.Q(ended_on=None), name="a_job_is_paused_once"),
            models.CheckConstraint(
                condition=models.Q(ended_on=None) | models.Q(ended_on__gte=models.F("on")),
                name="a_pause_ends_after_it_begins",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_cause_display()}, look again {self.look_again_on}"
