"""The firm's insurance: without it in force no permit can be submitted."""

from __future__ import annotations

from datetime import date

from django.db import models


class Insurance(models.Model):
    class Kind(models.TextChoices):
        LIABILITY = "liability", "General liability"
        WORKERS = "workers", "Workers' compensation"

    kind = models.CharField(max_length=10, choices=Kind.choices)
    insurer = models.CharField(max_length=80)
    number = models.CharField("policy number", max_length=40)
    starts_on = models.DateField()
    expires_on = models.DateField()

    class Meta:
        ordering = ["kind", "-expires_on"]
        verbose_name_plural = "insurance policies"
        constraints = [
            models.UniqueConstraint(fields=["insurer", "number", "starts_on"], name="an_insurance_policy_once"),
            models.CheckConstraint(
                condition=models.Q(expires_on__gt=models.F("starts_on")), name="insurance_ends_after_it_starts"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.insurer} {self.number}"

    def valid_on(self, day: date) -> bool:
        return self.starts_on <= day <= self.expires_on
