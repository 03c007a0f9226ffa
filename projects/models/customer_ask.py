"""What the office asks a customer to send, and the pictures that come back through the customer's page."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from projects.models.evidence import Evidence


def sent_to(upload: CustomerUpload, filename: str) -> str:
    return f"jobs/{upload.ask.job_id}/sent/{upload.sha256[:16]}.{filename.rsplit('.', 1)[-1].lower()}"


class CustomerAsk(models.Model):
    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="customer_asks")
    kind = models.CharField(max_length=10, choices=Evidence.Kind.choices)
    words = models.CharField(max_length=200, blank=True)
    """For the customer, beyond the kind: "with the door open, so that the breakers can be read"."""
    asked_at = models.DateTimeField(auto_now_add=True)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    closed_at = models.DateTimeField(null=True, blank=True)
    """Answered by an accepted picture, or taken back."""

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} for job {self.job_id}"


class CustomerUpload(models.Model):
    """One picture, re-encoded; part of the job's evidence once somebody in the office has accepted it."""

    ask = models.ForeignKey(CustomerAsk, on_delete=models.CASCADE, related_name="uploads")
    file = models.FileField(upload_to=sent_to, max_length=200)
    sha256 = models.CharField(max_length=64)
    sent_at = models.DateTimeField(auto_now_add=True)
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    evidence = models.ForeignKey(Evidence, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    refused_because = models.CharField(max_length=200, blank=True)
    """Shown to the customer."""

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["ask", "sha256"], condition=models.Q(decided_at=None), name="a_picture_waits_once"
            )
        ]

    def __str__(self) -> str:
        return f"picture for {self.ask}"
