"""The utility's side: application, what it asked for, agreement, meter, witness test, permission to operate."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Interconnection(models.Model):
    job = models.OneToOneField("Job", on_delete=models.CASCADE, related_name="interconnection")
    number = models.CharField(max_length=60, blank=True)
    submitted_on = models.DateField(null=True, blank=True)
    design_fingerprint = models.CharField(max_length=64, blank=True)
    level = models.PositiveSmallIntegerField(null=True, blank=True)
    """1 simplified, 2 fast track with screens, 3 with a study: by the size applied for, or as the utility says."""
    applied_kw_ac = models.FloatField(null=True, blank=True)
    revised_on = models.DateField(null=True, blank=True)
    """When the utility was last told of a changed design."""
    queue_position = models.PositiveIntegerField(null=True, blank=True)
    queue_on = models.DateField(null=True, blank=True)
    complete_on = models.DateField(null=True, blank=True)
    screens_passed_on = models.DateField(null=True, blank=True)
    study_done_on = models.DateField(null=True, blank=True)
    meter_ordered_on = models.DateField(null=True, blank=True)
    approved_on = models.DateField(null=True, blank=True)
    agreement_signed_on = models.DateField(null=True, blank=True)
    inspection_sent_on = models.DateField(null=True, blank=True)
    meter_set_on = models.DateField(null=True, blank=True)
    witness_passed_on = models.DateField(null=True, blank=True)
    permission_on = models.DateField(null=True, blank=True)
    permission_number = models.CharField(max_length=60, blank=True)

    def __str__(self) -> str:
        return f"Interconnection of job {self.job_id}"


class UtilityRequest(models.Model):
    interconnection = models.ForeignKey(Interconnection, on_delete=models.CASCADE, related_name="requests")
    text = models.TextField()
    asked_on = models.DateField()
    answer = models.TextField(blank=True)
    answered_on = models.DateField(null=True, blank=True)
    answered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.text[:60]
