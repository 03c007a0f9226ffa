"""Plain facts of the route ("the contract was signed on the 4th") and the owner's waivers."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class JobMark(models.Model):
    """``key`` is one of ``projects.route.marks.MARKS``. Withdrawn ones stay, so that nothing recorded is lost."""

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="marks")
    key = models.CharField(max_length=40)
    on = models.DateField()
    note = models.TextField(blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.TextField(blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "key"], condition=models.Q(withdrawn_at=None), name="one_standing_mark_of_a_key"
            )
        ]

    def __str__(self) -> str:
        return f"{self.key} on {self.on}"


class Waiver(models.Model):
    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="waivers")
    key = models.CharField(max_length=60)
    reason = models.TextField()
    on = models.DateField()
    waived_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "key"], condition=models.Q(withdrawn_at=None), name="one_standing_waiver_of_a_key"
            )
        ]

    def __str__(self) -> str:
        return f"{self.key} waived"


class PaperIssue(models.Model):
    """The route's note that a paper went out (the paper itself, its bytes and hash, belong to ``paperwork``)."""

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="paper_issues")
    kind = models.CharField(max_length=30)
    number = models.CharField(max_length=40)
    on = models.DateField()
    design_fingerprint = models.CharField(max_length=64, blank=True)
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["job", "kind", "-id"])]

    def __str__(self) -> str:
        return self.number
