"""When the price is to be paid in parts, and what has been paid."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models


class MilestoneFact(models.TextChoices):
    """The fact of the route by which a payment becomes due (a test holds them and ``route.milestones`` together)."""

    CONTRACT = "contract", "The contract is signed"
    PERMITS = "permits", "All permits are issued"
    EQUIPMENT = "equipment", "The equipment has arrived"
    STARTED = "started", "The installation has begun"
    INSTALLED = "installed", "The installation is complete"
    INSPECTED = "inspected", "The final inspection has passed"
    PERMISSION = "permission", "The system may operate"
    HANDOVER = "handover", "The system is handed over"


class MilestoneTerms(models.Model):
    order = models.PositiveIntegerField()
    title = models.CharField(max_length=80)
    """As the customer reads it: "Deposit"."""
    fact = models.CharField(max_length=12, choices=MilestoneFact.choices)
    percent = models.DecimalField(max_digits=5, decimal_places=2)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.title


class DefaultMilestone(MilestoneTerms):
    """The office's usual schedule; the percentages of all rows sum to 100."""

    class Meta:
        ordering = ["order"]
        constraints = [models.CheckConstraint(condition=models.Q(percent__gt=0), name="default_milestone_above_zero")]


class PaymentMilestone(MilestoneTerms):
    """A job's own schedule, fixed when its contract is signed; a job without rows follows the office's usual one."""

    job = models.ForeignKey("Job", on_delete=models.PROTECT, related_name="payment_milestones")

    class Meta:
        ordering = ["job_id", "order"]
        constraints = [
            models.UniqueConstraint(fields=["job", "order"], name="one_milestone_per_place"),
            models.CheckConstraint(condition=models.Q(percent__gt=0), name="milestone_above_zero"),
        ]


class PaymentTerms(models.Model):
    """The office's terms. One row, or none: then the defaults hold."""

    payment_days = models.PositiveIntegerField(
        "days to pay", default=10, validators=[MinValueValidator(0), MaxValueValidator(120)]
    )
    """Calendar days from the invoice. Common practice, no source."""
    labor_usd_per_hour = models.DecimalField(
        max_digits=7,
        decimal_places=2,
        default=Decimal("62.00"),
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(1000))],
    )
    """What an hour of the crew costs the office, with taxes and insurance."""

    class Meta:
        verbose_name_plural = "payment terms"
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_set_of_payment_terms")]

    @classmethod
    def current(cls) -> PaymentTerms:
        return cls.objects.filter(pk=1).first() or cls(pk=1)


class Payment(models.Model):
    """Money received, or given back. Withdrawn ones stay, with the reason."""

    class Kind(models.TextChoices):
        RECEIVED = "received", "Received"
        REFUND = "refund", "Refunded"

    class Method(models.TextChoices):
        CHECK = "check", "Check"
        TRANSFER = "transfer", "Bank transfer"
        CARD = "card", "Card"
        CASH = "cash", "Cash"
        LENDER = "lender", "Paid by the lender"

    job = models.ForeignKey("Job", on_delete=models.PROTECT, related_name="payments")
    kind = models.CharField(max_length=8, choices=Kind.choices, default=Kind.RECEIVED)
    on = models.DateField()
    amount_usd = models.DecimalField(max_digits=10, decimal_places=2)
    method = models.CharField(max_length=8, choices=Method.choices)
    reference = models.CharField(max_length=60, blank=True)
    """Check number, transfer's reference; never a card's or an account's number."""
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.TextField(blank=True)

    class Meta:
        ordering = ["on", "id"]
        indexes = [models.Index(fields=["on"])]
        constraints = [models.CheckConstraint(condition=models.Q(amount_usd__gt=0), name="payment_above_zero")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.amount_usd} on {self.on}"
