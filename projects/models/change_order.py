"""A change of the price after the contract: numbered, with its reason, approved by the customer on a day."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class ChangeOrder(models.Model):
    class State(models.TextChoices):
        PROPOSED = "proposed", "Waits for the customer"
        APPROVED = "approved", "Approved by the customer"
        DROPPED = "dropped", "Not wanted"

    job = models.ForeignKey("Job", on_delete=models.PROTECT, related_name="change_orders")
    number = models.PositiveIntegerField()
    """1, 2, 3 within the job."""
    reason = models.TextField()
    amount_usd = models.DecimalField(max_digits=10, decimal_places=2)
    """Added to the price; negative where the price falls; 0 where only the work changes."""
    design = models.ForeignKey("Design", on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    """The revision that the change belongs to, where it changes the design."""
    state = models.CharField(max_length=8, choices=State.choices, default=State.PROPOSED)
    proposed_on = models.DateField()
    decided_on = models.DateField(null=True, blank=True)
    decision_note = models.TextField(blank=True)
    """How the customer approved it, or why it was dropped."""
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["job_id", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="one_change_order_of_a_number"),
            models.CheckConstraint(
                condition=models.Q(state="proposed") | models.Q(decided_on__isnull=False),
                name="a_decided_change_order_has_its_day",
            ),
        ]

    def __str__(self) -> str:
        return f"Change order {self.number}"
