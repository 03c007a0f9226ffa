"""A job, from lead to the end of its warranty, with the cached answer of the route."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class SystemKind(models.TextChoices):
    OFF_GRID = "off_grid", "Off-grid"
    GRID_TIED = "grid_tied", "Grid-tied"
    HYBRID = "hybrid", "Hybrid"


class Stage(models.TextChoices):
    """Keys as in ``projects.route.stages`` (a test holds the two together)."""

    LEAD = "lead", "Lead"
    SITE_ASSESSMENT = "site_assessment", "Site assessment"
    ENGINEERING = "engineering", "Engineering"
    PERMITS = "permits", "Permits"
    INSTALLATION = "installation", "Installation"
    INSPECTION = "inspection", "Inspection"
    INTERCONNECTION = "interconnection", "Interconnection"
    OPERATION = "operation", "Permission to operate"
    IN_SERVICE = "in_service", "In service"


class Job(models.Model):
    class Outcome(models.TextChoices):
        OPEN = "", "Open"
        LOST = "lost", "Lost"
        CANCELLED = "cancelled", "Cancelled"

    number = models.PositiveIntegerField(unique=True)
    customer = models.ForeignKey("Customer", on_delete=models.PROTECT, related_name="jobs")
    site = models.ForeignKey("Site", on_delete=models.PROTECT, related_name="jobs")
    jurisdiction = models.ForeignKey(
        "Jurisdiction", on_delete=models.PROTECT, null=True, blank=True, related_name="jobs"
    )
    utility = models.ForeignKey("Utility", on_delete=models.PROTECT, null=True, blank=True, related_name="jobs")
    source = models.CharField(max_length=40, blank=True)
    """How the household found us."""
    received_at = models.DateTimeField()
    assigned_to = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="jobs"
    )
    duplicate_of = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="duplicates")

    same_site_as = models.ForeignKey(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="others_at_the_site"
    )
    """The first job at the same place; all jobs there name the same one."""

    recommended_kind = models.CharField(max_length=10, choices=SystemKind.choices, blank=True)
    recommendation = models.JSONField(default=dict)
    """Reasons and meanings as they stood when the kind was decided."""
    system_kind = models.CharField(max_length=10, choices=SystemKind.choices, blank=True)
    kind_reason = models.TextField(blank=True)
    price_usd = models.DecimalField(max_digits=10, decimal_places=2, null=True, blank=True)
    visit_on = models.DateField(null=True, blank=True)
    install_on = models.DateField(null=True, blank=True)
    outcome = models.CharField(max_length=10, choices=Outcome.choices, default=Outcome.OPEN, blank=True)
    outcome_reason = models.TextField(blank=True)

    # The cached standing: written by actions.standing.refresh alone, proven by the command check_standing.
    stage = models.CharField(max_length=16, choices=Stage.choices, default=Stage.LEAD)
    stage_since = models.DateField(null=True, blank=True)
    next_step = models.CharField(max_length=200, blank=True)
    next_key = models.CharField(max_length=60, blank=True)
    waiting_on = models.CharField(max_length=12, blank=True)
    waiting_on_name = models.CharField(max_length=80, blank=True)
    due_on = models.DateField(null=True, blank=True)
    crew_steps = models.PositiveIntegerField(default=0)
    """Open next steps of the crew and the electrician."""
    gates = models.JSONField(default=list)
    """(state, key) of each gate in drawing order, for the small drawing in lists."""
    fresh_until = models.DateField(null=True, blank=True, db_index=True)
    """From this day on the next step may be another one, since something falls due; None: not until a new fact."""
    search_text = models.TextField(blank=True)
    """Lower case: number, name, street, city, ZIP, phone digits, e-mail, permit numbers."""
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes = [
            models.Index(fields=["outcome", "stage", "due_on"]),
            models.Index(fields=["outcome", "waiting_on", "due_on"]),
            models.Index(fields=["outcome", "due_on", "number"]),
            models.Index(fields=["received_at"]),
            models.Index(fields=["price_usd"]),
            models.Index(fields=["visit_on"], condition=~models.Q(visit_on=None), name="visit_days"),
            models.Index(fields=["install_on"], condition=~models.Q(install_on=None), name="install_days"),
        ]

    def __str__(self) -> str:
        return f"{self.number:04d} {self.customer}"

    @property
    def label(self) -> str:
        return f"{self.number:04d}"
