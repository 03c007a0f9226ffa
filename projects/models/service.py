"""A system in service: claims under its warranties, visits, and what the customer reads off the meter."""

from __future__ import annotations

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models


class WarrantyClaim(models.Model):
    class Outcome(models.TextChoices):
        REPAIRED = "repaired", "Repaired"
        REPLACED = "replaced", "Part replaced"
        NOTHING = "nothing", "Nothing found"
        NOT_COVERED = "not_covered", "Not covered"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="claims")
    warranty = models.ForeignKey("Warranty", on_delete=models.SET_NULL, null=True, blank=True, related_name="claims")
    covers = models.CharField(max_length=80)
    """What the warranty was for, should its row go: "Workmanship", or the equipment's name."""
    in_time = models.BooleanField()
    """Reported while that warranty ran."""
    reported_on = models.DateField()
    trouble = models.TextField()
    outcome = models.CharField(max_length=12, choices=Outcome.choices, blank=True)
    settled_on = models.DateField(null=True, blank=True)
    settled_note = models.TextField(blank=True)
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    settled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["reported_on", "id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(settled_on=None, outcome="") | ~models.Q(outcome="") & ~models.Q(settled_on=None),
                name="a_settled_claim_has_an_outcome",
            )
        ]

    def __str__(self) -> str:
        return f"{self.covers}: {self.trouble[:60]}"


class ServiceVisit(models.Model):
    """To look at a claim, or a look at the system that somebody wants to be reminded of."""

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="service_visits")
    claim = models.ForeignKey(WarrantyClaim, on_delete=models.CASCADE, null=True, blank=True, related_name="visits")
    planned_for = models.DateField()
    purpose = models.CharField(max_length=160, blank=True)
    crew = models.ForeignKey("Crew", on_delete=models.PROTECT, null=True, blank=True, related_name="service_visits")
    starts_at = models.TimeField(null=True, blank=True)
    """By the office's clock; None: some time that day."""
    done_on = models.DateField(null=True, blank=True)
    found = models.TextField(blank=True)
    cancelled_on = models.DateField(null=True, blank=True)
    planned_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["planned_for", "id"]
        indexes = [models.Index(fields=["planned_for"])]

    def __str__(self) -> str:
        return f"{self.purpose or 'Service visit'}, {self.planned_for}"

    @property
    def about(self) -> str:
        """What for, in the words of whoever planned it or of the claim."""
        if self.claim is None:
            return self.purpose or "a look at the system"
        return ": ".join(words for words in (self.claim.covers, self.claim.trouble, self.purpose) if words)


class MeterReading(models.Model):
    """What the customer read for one month: kWh produced."""

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="meter_readings")
    year = models.PositiveIntegerField(validators=[MinValueValidator(2000), MaxValueValidator(2100)])
    month = models.PositiveIntegerField(validators=[MinValueValidator(1), MaxValueValidator(12)])
    produced_kwh = models.DecimalField(max_digits=8, decimal_places=1)
    entered_at = models.DateTimeField(auto_now_add=True)
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["year", "month"]
        constraints = [
            models.UniqueConstraint(fields=["job", "year", "month"], name="one_meter_reading_a_month"),
            models.CheckConstraint(condition=models.Q(produced_kwh__gte=0), name="produced_kwh_is_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.year}-{self.month:02}: {self.produced_kwh} kWh"
