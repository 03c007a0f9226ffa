"""What a job costs the office, beyond what its design and its permits say already."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class JobCost(models.Model):
    class Kind(models.TextChoices):
        EQUIPMENT = "equipment", "Equipment as bought"
        LABOR = "labor", "Labor"
        SUBCONTRACT = "subcontract", "Subcontractor"
        FEES = "fees", "Fees"
        OTHER = "other", "Other"

    job = models.ForeignKey("Job", on_delete=models.PROTECT, related_name="costs")
    kind = models.CharField(max_length=12, choices=Kind.choices)
    what = models.CharField(max_length=120)
    hours = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    usd_per_hour = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    """Of labor: the office's rate on the day of recording."""
    amount_usd = models.DecimalField(max_digits=10, decimal_places=2)
    on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.TextField(blank=True)

    class Meta:
        ordering = ["on", "id"]
        constraints = [models.CheckConstraint(condition=models.Q(amount_usd__gt=0), name="cost_above_zero")]

    def __str__(self) -> str:
        return f"{self.what}, {self.amount_usd}"
