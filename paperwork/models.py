"""Issued papers: the frozen facts, the bytes and their hash. What was issued never changes."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models


class IssuedForGood(Exception):
    """Somebody tried to change or remove a paper that has been handed out."""


class IssuedPapers(models.QuerySet["IssuedPaper"]):
    def update(self, **values: Any) -> int:
        raise IssuedForGood("An issued paper never changes: issue a new one.")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise IssuedForGood("An issued paper is never removed.")

    def bulk_update(self, *args: Any, **kwargs: Any) -> int:
        raise IssuedForGood("An issued paper never changes: issue a new one.")

    def light(self) -> IssuedPapers:
        """Without the bytes and the facts: for lists."""
        return self.defer("content", "facts")


class IssuedPaper(models.Model):
    """A trigger of the database refuses updates as well (migration 0003)."""

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

    objects = IssuedPapers.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["job", "kind", "issue"], name="one_paper_per_issue")]

    def __str__(self) -> str:
        return self.number

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk is not None and not self._state.adding:
            raise IssuedForGood(f"{self.number} is issued and never changes: issue a new one.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise IssuedForGood(f"{self.number} is issued and is never removed.")

    @property
    def file_name(self) -> str:
        return f"{self.number}.pdf"
