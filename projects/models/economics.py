"""What the office counts with over the years, and money from outside that it has entered for a job."""

from __future__ import annotations

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone


def _pct(low: float, high: float, default: float) -> models.FloatField:
    return models.FloatField(default=default, validators=[MinValueValidator(low), MaxValueValidator(high)])


class MoneyRules(models.Model):
    """One row: the same assumptions in every study, until the office changes them."""

    years = models.PositiveIntegerField(default=25, validators=[MinValueValidator(1), MaxValueValidator(40)])
    discount_pct_per_year = _pct(0, 30, 5)
    degradation_pct_per_year = _pct(0, 5, 0.5)
    """Production lost each year; common practice, no source."""
    inflation_pct_per_year = _pct(0, 20, 0)
    """Of upkeep and replacements."""
    upkeep_usd_per_year = models.DecimalField(
        max_digits=8, decimal_places=2, default=0, validators=[MinValueValidator(0)]
    )
    battery_years = models.PositiveIntegerField(
        null=True, blank=True, default=15, validators=[MinValueValidator(1), MaxValueValidator(40)]
    )
    """A battery is bought again after so many years, at the catalogue's price; common practice, no source."""
    inverter_years = models.PositiveIntegerField(
        null=True, blank=True, default=15, validators=[MinValueValidator(1), MaxValueValidator(40)]
    )

    class Meta:
        verbose_name_plural = "money rules"
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_set_of_money_rules")]

    def __str__(self) -> str:
        return "Money rules"

    @classmethod
    def current(cls) -> MoneyRules:
        """The office's own row, or the usual values until somebody set them (not saved)."""
        return cls.objects.filter(pk=1).first() or cls(pk=1)


class JobIncentive(models.Model):
    """A rebate, grant or tax credit that the office has looked up for this household. Nothing is counted unentered."""

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="incentives")
    name = models.CharField(max_length=80)
    usd = models.DecimalField(max_digits=9, decimal_places=2, validators=[MinValueValidator(0)])
    month = models.PositiveIntegerField(default=12, validators=[MinValueValidator(1), MaxValueValidator(120)])
    """After the start, from 1, in which it arrives."""
    entered_on = models.DateField(default=timezone.localdate)
    expires_on = models.DateField(null=True, blank=True)
    source = models.CharField(max_length=160)
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["month", "id"]

    def __str__(self) -> str:
        return self.name
