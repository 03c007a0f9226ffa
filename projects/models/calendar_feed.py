"""A person's secret calendar address: only the hash of its token is stored."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class CalendarFeed(models.Model):
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="calendar_feeds")
    token_hash = models.CharField(max_length=64, unique=True)
    created_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True)
    last_read_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["person"], condition=models.Q(revoked_at=None), name="one_live_calendar_address"
            )
        ]

    def __str__(self) -> str:
        return f"calendar of person {self.person_id}"
