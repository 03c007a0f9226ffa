"""The customer's loan: the application, the lender's decision and its conditions."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.db import models

from projects.route.amounts import level_payment_usd


class FinancingApplication(models.Model):
    class State(models.TextChoices):
        SUBMITTED = "submitted", "With the lender"
        APPROVED = "approved", "Approved"
        DECLINED = "declined", "Declined"
        WITHDRAWN = "withdrawn", "Withdrawn"

    job = models.ForeignKey("Job", on_delete=models.PROTECT, related_name="financing")
    lender = models.CharField(max_length=80)
    reference = models.CharField(max_length=60, blank=True)
    amount_usd = models.DecimalField(max_digits=10, decimal_places=2)
    rate_per_year = models.DecimalField(max_digits=6, decimal_places=4)
    """As a fraction: 0.0750 is 7.5 %."""
    months = models.PositiveIntegerField()
    state = models.CharField(max_length=10, choices=State.choices, default=State.SUBMITTED)
    submitted_on = models.DateField()
    decided_on = models.DateField(null=True, blank=True)
    note = models.TextField(blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["job_id", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["job"],
                condition=models.Q(state__in=["submitted", "approved"]),
                name="one_living_loan_application",
            ),
            models.CheckConstraint(condition=models.Q(amount_usd__gt=0), name="loan_above_zero"),
        ]

    def __str__(self) -> str:
        return f"{self.lender}, {self.get_state_display().lower()}"

    @property
    def living(self) -> bool:
        return self.state in (self.State.SUBMITTED, self.State.APPROVED)

    @property
    def rate_pct(self) -> Decimal:
        return self.rate_per_year * 100

    @property
    def payment_usd(self) -> Decimal:
        """A month's payment by the lender's terms, to the cent."""
        return level_payment_usd(self.amount_usd, self.rate_per_year, self.months)


class LenderCondition(models.Model):
    """What the lender asks for before it pays, and whose turn it is."""

    class Party(models.TextChoices):
        CUSTOMER = "customer", "The customer"
        OFFICE = "office", "The office"
        LENDER = "lender", "The lender"

    application = models.ForeignKey(FinancingApplication, on_delete=models.PROTECT, related_name="conditions")
    text = models.TextField()
    party = models.CharField(max_length=8, choices=Party.choices)
    asked_on = models.DateField()
    met_on = models.DateField(null=True, blank=True)
    met_note = models.TextField(blank=True)
    met_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.text[:60]
