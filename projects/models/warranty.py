"""What was promised, and until when."""

from __future__ import annotations

from django.db import models


class Warranty(models.Model):
    WORKMANSHIP = "Workmanship"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="warranties")
    covers = models.CharField(max_length=80)
    """"Workmanship", or the equipment's name."""
    years = models.PositiveIntegerField(default=0)
    starts_on = models.DateField()
    ends_on = models.DateField()

    class Meta:
        ordering = ["ends_on", "id"]
        indexes = [models.Index(fields=["ends_on"])]
        verbose_name_plural = "warranties"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(ends_on__gt=models.F("starts_on")), name="a_warranty_ends_after_it_starts"
            ),
            models.UniqueConstraint(fields=["job", "covers"], name="one_warranty_of_a_part_per_job"),
        ]

    def __str__(self) -> str:
        return f"{self.covers} until {self.ends_on}"
