"""The customer's signed link: only the hash of its token is stored."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class CustomerLink(models.Model):
    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="customer_links")
    token_hash = models.CharField(max_length=64, unique=True)
    created_at = models.DateTimeField(auto_now_add=True)
    created_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    last_seen_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"link to job {self.job_id}"
