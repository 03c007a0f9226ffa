"""Photographs and files that show a fact."""

from __future__ import annotations

from django.conf import settings
from django.db import models


def stored_at(evidence: Evidence, filename: str) -> str:
    return f"jobs/{evidence.job_id}/{evidence.sha256[:16]}.{filename.rsplit('.', 1)[-1].lower()}"


class Evidence(models.Model):
    class Kind(models.TextChoices):
        PANEL = "panel", "Main service panel"
        METER = "meter", "Meter"
        ROOF = "roof", "Roof"
        ATTIC = "attic", "Attic and rafters"
        ARRAY = "array", "Finished array"
        INVERTER = "inverter", "Inverter"
        BATTERY = "battery", "Battery"
        LABELS = "labels", "Labels and placards"
        BILL = "bill", "Electric bill"
        OTHER = "other", "Other"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="evidence")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    file = models.FileField(upload_to=stored_at, max_length=200)
    sha256 = models.CharField(max_length=64)
    note = models.CharField(max_length=200, blank=True)
    client_key = models.CharField(max_length=64, blank=True)
    """Made up by the device that sent it: sending twice stores once."""
    added_at = models.DateTimeField(auto_now_add=True)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "evidence"
        constraints = [
            models.UniqueConstraint(
                fields=["job", "client_key"], condition=~models.Q(client_key=""), name="evidence_sent_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of job {self.job_id}"
