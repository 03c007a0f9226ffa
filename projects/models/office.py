"""The office itself: what stands at the head of every paper. One row."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models


class OfficeProfile(models.Model):
    name = models.CharField("firm", max_length=80)
    street = models.CharField(max_length=160, blank=True)
    city = models.CharField(max_length=80, blank=True)
    state = models.CharField(max_length=2, blank=True)
    zip_code = models.CharField("ZIP", max_length=10, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    licence_line = models.CharField(max_length=120, blank=True)
    """As the state wants it on paper: "NC General 00000, Electrical 00000-U"."""

    workmanship_years = models.PositiveIntegerField(
        "workmanship warranty (years)", default=10, validators=[MinValueValidator(5), MaxValueValidator(25)]
    )
    """The longest the office promises of its own accord; 5 to 25 years are common practice, no source."""

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_office")]

    def __str__(self) -> str:
        return self.name

    @property
    def address(self) -> str:
        place = " ".join(part for part in (self.state, self.zip_code) if part)
        return ", ".join(part for part in (self.street, self.city, place) if part)

    @classmethod
    def current(cls) -> OfficeProfile | None:
        """The office's own row; None until somebody filled it in."""
        return cls.objects.filter(pk=1).first()
