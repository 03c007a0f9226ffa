"""A matter on the desk that somebody put off, with the reason and the day on which it comes back."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Snooze(models.Model):
    """``key`` names the matter: a requirement's key, or "permit_building_expiry" and the like. Ended ones stay."""

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="snoozes")
    key = models.CharField(max_length=60)
    until = models.DateField()
    reason = models.TextField()
    put_off_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    put_off_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["until", "id"]
        indexes = [models.Index(fields=["until"], condition=models.Q(ended_at=None), name="matters_put_off")]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "key"], condition=models.Q(ended_at=None), name="a_matter_is_put_off_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.key} until {self.until}"
