"""What a booked day needs beside its date: the crew, the hour, how many days; and a day kept free before a booking.

The day itself stays where the route reads it: ``Job.visit_on``, ``Job.install_on``, ``Inspection.booked_for``.
"""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models


class Appointment(models.Model):
    class Kind(models.TextChoices):
        SITE_VISIT = "site_visit", "Site visit"
        INSTALLATION = "installation", "Installation"
        ROUGH_IN = "rough_in", "Rough-in inspection"
        FINAL = "final", "Final inspection"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="appointments")
    kind = models.CharField(max_length=12, choices=Kind.choices)
    crew = models.ForeignKey("Crew", on_delete=models.PROTECT, null=True, blank=True, related_name="appointments")
    starts_at = models.TimeField(null=True, blank=True)
    """By the office's clock; None: some time that day."""
    days = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1), MaxValueValidator(15)])
    """Working days of an installation; everything else takes one."""
    planned_on = models.DateField(null=True, blank=True)
    """A day kept free while the route doesn't allow a booking yet; empty once it is booked."""

    class Meta:
        ordering = ["job_id", "kind"]
        indexes = [
            models.Index(fields=["planned_on"], condition=models.Q(planned_on__isnull=False), name="planned_days")
        ]
        constraints = [
            models.UniqueConstraint(fields=["job", "kind"], name="one_appointment_of_a_kind"),
            models.CheckConstraint(condition=models.Q(days__gte=1), name="an_appointment_takes_a_day"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, job {self.job_id}"
