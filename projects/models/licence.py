"""Licences that permits are submitted under."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Licence(models.Model):
    class Trade(models.TextChoices):
        CONTRACTOR = "contractor", "Contractor"
        ELECTRICIAN = "electrician", "Electrician"

    holder = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="licences")
    trade = models.CharField(max_length=12, choices=Trade.choices)
    number = models.CharField(max_length=40)
    classification = models.CharField("class", max_length=40, blank=True)
    state = models.CharField(max_length=2)
    valid_from = models.DateField(null=True, blank=True)
    """Empty: from whenever it was first entered."""
    expires_on = models.DateField()

    class Meta:
        ordering = ["trade", "holder_id"]
        constraints = [models.UniqueConstraint(fields=["state", "trade", "number"], name="licence_number_once")]

    def __str__(self) -> str:
        return f"{self.get_trade_display()} {self.number} ({self.holder.name})"

    def valid_on(self, day) -> bool:
        return (self.valid_from is None or self.valid_from <= day) and day <= self.expires_on
