"""A job, from lead to the end of its warranty, with the cached answer of the route."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Case, F, Q, Value, When
from django.db.models.functions import Coalesce


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


class ListedAs(models.TextChoices):
    """Under which heading the job list shows a job."""

    OPEN = "open", "Open"
    IN_SERVICE = "in_service", "In service"
    LOST = "lost", "Lost"
    CANCELLED = "cancelled", "Cancelled"


LISTED_AS = Case(
    When(~Q(outcome=""), then=F("outcome")),
    When(stage="in_service", then=Value("in_service")),
    default=Value("open"),
)
STAGE_PLACE = Case(
    *(When(stage=stage, then=Value(place)) for place, stage in enumerate(Stage.values)),
    default=Value(len(Stage.values)),
)


NARROWED_BY = (
    "listed_as",
    "system_kind",
    "stage_place",
    "waiting_on",
    "jurisdiction",
    "utility",
    "assigned_to",
    "due_up",
)
"""What the list can be narrowed by: part of each order's index, so that the walk to any page reads the index alone."""


def order_of_the_list(*columns: str) -> models.Index:
    """Holds all that the job list needs to find a page in this order, whatever it is narrowed to."""
    place = (*columns, "number")
    return models.Index(fields=[*place, *(each for each in NARROWED_BY if each not in [p.strip("-") for p in place])])


LIST_ORDERS = (
    (),
    ("household_key",),
    ("stage_place", "due_up"),
    ("-stage_place", "due_up"),
    ("next_step",),
    ("waiting_on_name",),
    ("due_up",),
    ("due_down",),
    ("received_at",),
    ("price_up",),
    ("price_down",),
)
"""The number comes after each of them, so that no two jobs stand in one place."""


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
    household_key = models.CharField(max_length=120, blank=True)
    """The household's name as it is sorted: lower case, without accents."""

    # Computed by the database, so that every order of the job list is an index: empty days and prices come last in
    # both directions, which SQLite and PostgreSQL else do each in its own way.
    listed_as = models.GeneratedField(
        expression=LISTED_AS, output_field=models.CharField(max_length=10, choices=ListedAs.choices), db_persist=True
    )
    stage_place = models.GeneratedField(
        expression=STAGE_PLACE, output_field=models.PositiveSmallIntegerField(), db_persist=True
    )
    due_up = models.GeneratedField(
        expression=Coalesce(F("due_on"), Value(date.max)), output_field=models.DateField(), db_persist=True
    )
    due_down = models.GeneratedField(
        expression=Coalesce(F("due_on"), Value(date.min)), output_field=models.DateField(), db_persist=True
    )
    price_up = models.GeneratedField(
        expression=Coalesce(F("price_usd"), Value(Decimal("99999999.99"))),
        output_field=models.DecimalField(max_digits=10, decimal_places=2),
        db_persist=True,
    )
    price_down = models.GeneratedField(
        expression=Coalesce(F("price_usd"), Value(Decimal("-1"))),
        output_field=models.DecimalField(max_digits=10, decimal_places=2),
        db_persist=True,
    )
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes = [
            # Counts of the list and of the bus above it, whatever they are narrowed to.
            models.Index(
                fields=[
                    "outcome",
                    "stage",
                    "due_on",
                    "system_kind",
                    "jurisdiction",
                    "utility",
                    "assigned_to",
                    "waiting_on",
                ],
                name="jobs_by_stage",
            ),
            models.Index(fields=["outcome", "waiting_on", "stage", "due_on"]),
            models.Index(fields=["outcome", "due_on", "stage", "number"]),
            # The pipeline's sums and the desk's matters, without a look at the jobs that are done.
            models.Index(
                fields=[
                    "outcome",
                    "next_key",
                    "stage",
                    "waiting_on",
                    "waiting_on_name",
                    "due_on",
                    "price_usd",
                    "stage_since",
                    "number",
                    "received_at",
                    "assigned_to",
                ],
                name="jobs_under_way",
            ),
            models.Index(fields=["outcome", "crew_steps"]),
            *(order_of_the_list(*columns) for columns in LIST_ORDERS),
            # "IS NOT NULL", not "NOT (… IS NULL)": only so does SQLite see that a range of days is within them. The
            # outcome first, or it takes another index that begins with it.
            models.Index(fields=["outcome", "visit_on"], condition=models.Q(visit_on__isnull=False), name="visit_days"),
            models.Index(
                fields=["outcome", "install_on"], condition=models.Q(install_on__isnull=False), name="install_days"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number:04d} {self.customer}"

    @property
    def label(self) -> str:
        return f"{self.number:04d}"
