"""Crews: who works together, on which days of the week, and how many jobs they can take in a day."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models

WORKING_WEEK = "12345"


class Crew(models.Model):
    name = models.CharField(max_length=40, unique=True)
    members = models.ManyToManyField(settings.AUTH_USER_MODEL, related_name="crews", blank=True)
    working_days = models.CharField(
        max_length=7,
        default=WORKING_WEEK,
        validators=[RegexValidator(r"^1?2?3?4?5?6?7?$", "Days of the week, Monday is 1.")],
    )
    """Days of the week as digits, Monday is 1: "12345"."""
    jobs_per_day = models.PositiveSmallIntegerField(default=2, validators=[MinValueValidator(1), MaxValueValidator(9)])
    """Visits and inspections beside each other; an installation takes the whole day."""
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(condition=models.Q(jobs_per_day__gte=1), name="a_crew_can_take_a_job"),
            models.CheckConstraint(condition=~models.Q(working_days=""), name="a_crew_works_some_day"),
        ]

    def __str__(self) -> str:
        return self.name

    def works_on(self, day: date) -> bool:
        """By the days of its week; its days off are rows of their own."""
        return str(day.isoweekday()) in self.working_days


class CrewDayOff(models.Model):
    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, related_name="days_off")
    on = models.DateField()
    reason = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["on"]
        constraints = [models.UniqueConstraint(fields=["crew", "on"], name="one_day_off_a_crew_and_day")]

    def __str__(self) -> str:
        return f"{self.crew} off on {self.on}"
