"""Invoices and the credit notes that take them back. Rows are written once and never edited."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models


class WrittenOnce(Exception):
    """Somebody tried to change or remove an invoice or a credit note."""


class OnceOnly(models.QuerySet):
    def update(self, **values: Any) -> int:
        raise WrittenOnce("What was invoiced never changes: write a credit note.")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise WrittenOnce("What was invoiced is never removed: write a credit note.")


class OnceOnlyModel(models.Model):
    objects = OnceOnly.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise WrittenOnce(f"{self} is issued and never changes: write a credit note.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise WrittenOnce(f"{self} is issued and is never removed.")


class Invoice(OnceOnlyModel):
    job = models.ForeignKey("Job", on_delete=models.PROTECT, related_name="invoices")
    milestone = models.ForeignKey(
        "PaymentMilestone", on_delete=models.PROTECT, null=True, blank=True, related_name="invoices"
    )
    """None: what change orders left over once every milestone was invoiced."""
    sequence = models.PositiveIntegerField()
    number = models.CharField(max_length=40, unique=True)
    """As on the paper: "0147-IN-2"."""
    title = models.CharField(max_length=120)
    amount_usd = models.DecimalField(max_digits=10, decimal_places=2)
    issued_on = models.DateField()
    due_on = models.DateField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["job_id", "sequence"]
        indexes = [models.Index(fields=["due_on"])]
        constraints = [
            models.UniqueConstraint(fields=["job", "sequence"], name="one_invoice_of_a_sequence"),
            models.CheckConstraint(condition=models.Q(amount_usd__gt=0), name="invoice_above_zero"),
            models.CheckConstraint(
                condition=models.Q(due_on__gte=models.F("issued_on")), name="an_invoice_is_due_once_it_is_issued"
            ),
        ]

    def __str__(self) -> str:
        return self.number


class CreditNote(OnceOnlyModel):
    """Takes an invoice back, wholly (the invoice is void then) or in part."""

    job = models.ForeignKey("Job", on_delete=models.PROTECT, related_name="credit_notes")
    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="credit_notes")
    sequence = models.PositiveIntegerField()
    number = models.CharField(max_length=40, unique=True)
    amount_usd = models.DecimalField(max_digits=10, decimal_places=2)
    reason = models.TextField()
    issued_on = models.DateField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["job_id", "sequence"]
        constraints = [
            models.UniqueConstraint(fields=["job", "sequence"], name="one_credit_note_of_a_sequence"),
            models.CheckConstraint(condition=models.Q(amount_usd__gt=0), name="credit_note_above_zero"),
        ]

    def __str__(self) -> str:
        return self.number
