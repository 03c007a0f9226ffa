"""What a household said it needs, and the load worksheet that grows out of it."""

from __future__ import annotations

from django.db import models


class Goal(models.TextChoices):
    BACKUP = "backup", "Keep the lights on in an outage"
    PAYBACK = "payback", "Lower the bills first"


class DoItYourself(models.TextChoices):
    NONE = "none", "Leave it all to the crew"
    SOME = "some", "Could help with small things"
    MUCH = "much", "Wants to do much of it"


class LeadAnswers(models.Model):
    """One per job. Empty until asked; a public request fills what the homeowner knew."""

    job = models.OneToOneField("Job", on_delete=models.CASCADE, related_name="answers")
    must_run = models.JSONField(default=list)
    """Keys of the appliance library ("well_pump_half_hp") or plain words."""
    goal = models.CharField(max_length=8, choices=Goal.choices, blank=True)
    monthly_kwh = models.JSONField(default=list)
    """Twelve numbers, January first, or empty."""
    yearly_kwh = models.FloatField(null=True, blank=True)
    wants_loan = models.BooleanField(default=False)
    warranty_years_wanted = models.PositiveIntegerField(null=True, blank=True)
    diy_comfort = models.CharField(max_length=4, choices=DoItYourself.choices, default=DoItYourself.NONE)
    grid_available = models.BooleanField(default=True)
    outage_days_wanted = models.FloatField(default=1)
    note = models.TextField(blank=True)

    @property
    def usage_known(self) -> bool:
        return len(self.monthly_kwh) == 12 or self.yearly_kwh is not None

    @property
    def known(self) -> bool:
        return bool(self.must_run) and bool(self.goal) and self.usage_answered

    @property
    def usage_answered(self) -> bool:
        """Where no utility reaches there is no bill to ask for: the list of loads says what the house uses."""
        return self.usage_known or not self.grid_available


class LoadLine(models.Model):
    """One line of the load worksheet (see sizing's ``Appliance``)."""

    class Tier(models.TextChoices):
        MUST_RUN = "must_run", "Must run"
        WOULD_LIKE = "would_like", "Would like"
        CAN_WAIT = "can_wait", "Can wait"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="load_lines")
    name = models.CharField(max_length=60)
    kind = models.CharField(
        max_length=14,
        choices=[
            ("steady", "Steady"),
            ("motor", "Motor"),
            ("well_pump", "Well pump"),
            ("central_air", "Central air"),
            ("electric_heat", "Electric heat"),
        ],
        default="steady",
    )
    watts = models.FloatField()
    hours_per_day = models.FloatField()
    count = models.PositiveIntegerField(default=1)
    tier = models.CharField(max_length=10, choices=Tier.choices, default=Tier.MUST_RUN)
    months = models.JSONField(default=list)
    voltage_v = models.FloatField(default=120)
    locked_rotor_a = models.FloatField(null=True, blank=True)
    starting_w = models.FloatField(null=True, blank=True)
    horsepower = models.FloatField(null=True, blank=True)
    code_letter = models.CharField(max_length=1, blank=True)
    soft_starter = models.BooleanField(default=False)
    order = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["order", "id"]

    def __str__(self) -> str:
        return self.name
