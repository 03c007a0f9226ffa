"""People of the office: those who sign in, and those whose licence the work is done under."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models


class Role(models.TextChoices):
    OFFICE = "office", "Office"
    CREW = "crew", "Crew"
    OWNER = "owner", "Owner"
    LICENCE_HOLDER = "licence_holder", "Licence holder"


class Person(AbstractUser):
    """Never deleted, since the journal names them: ``is_active`` off ends a person's sign-in."""

    role = models.CharField(max_length=16, choices=Role.choices, default=Role.OFFICE)
    phone = models.CharField(max_length=40, blank=True)

    # ``createsuperuser`` asks for the role: somebody must be the first owner.
    REQUIRED_FIELDS = ["email", "role"]

    class Meta:
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.name

    @property
    def name(self) -> str:
        return self.get_full_name() or self.username

    @property
    def is_office(self) -> bool:
        """May do the office's work (the owner may too)."""
        return self.role in (Role.OFFICE, Role.OWNER)

    @property
    def is_owner(self) -> bool:
        return self.role == Role.OWNER

    @property
    def is_crew(self) -> bool:
        return self.role == Role.CREW
