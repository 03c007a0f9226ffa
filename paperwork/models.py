"""Issued papers: the frozen facts, the bytes and their hash. What was issued never changes."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class IssuedPaper(models.Model):
    job = models.ForeignKey("projects.Job", on_delete=models.PROTECT, related_name="issued_papers")
    kind = models.CharField(max_length=30)
    number = models.CharField(max_length=40, unique=True)
    """Job number, kind and issue: "0147-FL-2"."""
    issue = models.PositiveIntegerField()
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    design_fingerprint = models.CharField(max_length=64, blank=True)
    facts = models.JSONField()
    """Everything the paper shows, as plain data."""
    changes = models.JSONField(default=list)
    """What differs from the issue before, in words."""
    media_type = models.CharField(max_length=40, default="application/pdf")
    content = models.BinaryField()
    sha256 = models.CharField(max_length=64)
    pages = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["job", "kind", "issue"], name="one_paper_per_issue")]

    def __str__(self) -> str:
        return self.number
