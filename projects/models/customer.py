"""Whoever asked for help."""

from __future__ import annotations

from django.db import models


class Customer(models.Model):
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    phone_digits = models.CharField(max_length=20, blank=True, db_index=True)
    """Digits alone, the last ten: duplicates are found by it."""
    preferred_language = models.CharField(max_length=2, choices=[("en", "English"), ("es", "Spanish")], default="en")
    email_updates = models.BooleanField("e-mail about the job", default=True)
    """Off: they asked not to be written to when the job moves."""
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes = [models.Index(fields=["email"]), models.Index(fields=["name"])]
        constraints = [models.CheckConstraint(condition=~models.Q(email="", phone=""), name="customer_can_be_reached")]

    def __str__(self) -> str:
        return self.name
