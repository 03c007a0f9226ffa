"""Permits: one row per permit, one per round of plan review, one per reviewer's comment."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Permit(models.Model):
    class Kind(models.TextChoices):
        BUILDING = "building", "Building permit"
        ELECTRICAL = "electrical", "Electrical permit"
        COMBINED = "combined", "Combined permit"
        FIRE = "fire", "Fire review"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="permits")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    number = models.CharField(max_length=60, blank=True)
    issued_on = models.DateField(null=True, blank=True)
    expires_on = models.DateField(null=True, blank=True)
    voided_on = models.DateField(null=True, blank=True)
    """Void: it stays with its rounds, and the requirements look at the one applied for instead."""
    void_reason = models.TextField(blank=True)

    class Meta:
        ordering = ["kind"]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "kind"], condition=models.Q(voided_on=None), name="one_live_permit_of_a_kind_per_job"
            )
        ]

    def __str__(self) -> str:
        return self.get_kind_display()


class PermitSubmission(models.Model):
    class Outcome(models.TextChoices):
        PENDING = "pending", "In plan review"
        CORRECTIONS = "corrections", "Corrections asked for"
        APPROVED = "approved", "Approved"

    permit = models.ForeignKey(Permit, on_delete=models.CASCADE, related_name="submissions")
    round = models.PositiveIntegerField()
    submitted_on = models.DateField()
    how = models.CharField(
        max_length=10,
        choices=[("online", "Online"), ("counter", "Over the counter"), ("email", "E-mail"), ("post", "Post")],
        default="online",
    )
    fee_usd = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)
    rule_fee_usd = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True)
    """What the jurisdiction's rule asked for on that day; None where it couldn't be worked out."""
    rule_words = models.CharField(max_length=240, blank=True)
    """Its working: "145.00 + 8.80 kW at 6.00 = 197.80"."""
    licence = models.ForeignKey("Licence", on_delete=models.PROTECT, null=True, blank=True, related_name="submissions")
    submitted_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    design_fingerprint = models.CharField(max_length=64)
    design_frozen = models.JSONField(default=dict)
    """The design as submitted: what a later change is compared with."""
    outcome = models.CharField(max_length=12, choices=Outcome.choices, default=Outcome.PENDING)
    outcome_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["permit_id", "round"]
        constraints = [models.UniqueConstraint(fields=["permit", "round"], name="one_submission_per_round")]

    def __str__(self) -> str:
        return f"{self.permit}, round {self.round}"


class PlanComment(models.Model):
    submission = models.ForeignKey(PermitSubmission, on_delete=models.CASCADE, related_name="comments")
    text = models.TextField()
    answer = models.TextField(blank=True)
    answered_on = models.DateField(null=True, blank=True)
    answered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.text[:60]
