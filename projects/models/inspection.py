"""Inspections and what the inspector wants corrected."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Inspection(models.Model):
    class Kind(models.TextChoices):
        ROUGH_IN = "rough_in", "Rough-in inspection"
        FINAL = "final", "Final inspection"

    class Result(models.TextChoices):
        BOOKED = "booked", "Booked"
        CORRECTIONS = "corrections", "Corrections"
        PASSED = "passed", "Passed"
        CANCELLED = "cancelled", "Cancelled"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="inspections")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    booked_for = models.DateField()
    result = models.CharField(max_length=12, choices=Result.choices, default=Result.BOOKED)
    result_on = models.DateField(null=True, blank=True)
    inspector = models.CharField(max_length=80, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["booked_for"], name="inspection_days")]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "kind"], condition=models.Q(result="booked"), name="one_booked_inspection_of_a_kind"
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.booked_for}"


class InspectionCorrection(models.Model):
    inspection = models.ForeignKey(Inspection, on_delete=models.CASCADE, related_name="corrections")
    text = models.TextField()
    fixed_on = models.DateField(null=True, blank=True)
    fixed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.text[:60]
