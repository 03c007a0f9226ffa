"""The engineered system, revision by revision, and the studies run on it."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone


class Design(models.Model):
    """One revision. A change makes a new row; the job's current design is the newest."""

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="designs")
    revision = models.PositiveIntegerField()
    module = models.ForeignKey("ModuleModel", on_delete=models.PROTECT, related_name="+")
    inverter = models.ForeignKey("InverterModel", on_delete=models.PROTECT, related_name="+")
    inverter_count = models.PositiveIntegerField(default=1)
    battery = models.ForeignKey("BatteryModel", on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    battery_count = models.PositiveIntegerField(default=0)
    storage = models.JSONField(default=dict, blank=True)
    """Where the battery stands, by the names of sizing's Battery: {"location", "unit_gap_m", "opening_gap_m",
    "fire_tested_close", "vehicle_guarded"}, only what is known; empty: not decided."""
    generator = models.ForeignKey("GeneratorModel", on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    plane_modules = models.JSONField(default=list)
    """[{"plane": name, "modules": n}, ...] in roof-plane order."""
    strings = models.JSONField(default=list)
    """[{"plane", "modules_in_series", "strings", "mppt"}, ...]; empty: the study proposes."""
    connection = models.CharField(
        max_length=20,
        choices=[("busbar_opposite_end", "Breaker at the far end of the busbar"), ("supply_side", "Supply side")],
        default="busbar_opposite_end",
    )
    dc_run_m = models.FloatField(default=20)
    ac_run_m = models.FloatField(default=10)
    loan_rate_per_year = models.DecimalField(max_digits=6, decimal_places=4, default="0.0750")
    loan_months = models.PositiveIntegerField(default=180)
    preliminary = models.BooleanField(default=False)
    """Drawn up for the first-look report, before anyone was on the roof."""
    frozen = models.JSONField(default=dict)
    """All that the fingerprint covers: equipment with ratings, planes, strings, service, connection."""
    fingerprint = models.CharField(max_length=64)
    on = models.DateField(default=timezone.localdate)
    """The day on which it was drawn up (due dates count from it)."""
    created_at = models.DateTimeField(auto_now_add=True)
    created_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["job_id", "revision"]
        constraints = [models.UniqueConstraint(fields=["job", "revision"], name="one_design_per_revision")]

    def __str__(self) -> str:
        return f"revision {self.revision_letter}"

    @property
    def revision_letter(self) -> str:
        letters, n = "", self.revision
        while n > 0:
            n, rest = divmod(n - 1, 26)
            letters = chr(65 + rest) + letters
        return letters

    @property
    def module_count(self) -> int:
        return sum(line["modules"] for line in self.plane_modules)

    @property
    def array_kw(self) -> float:
        return self.module_count * self.module.power_w / 1000

    @property
    def battery_kwh(self) -> float:
        return self.battery.usable_kwh * self.battery_count if self.battery else 0.0


class StudyRun(models.Model):
    class State(models.TextChoices):
        RUNNING = "running", "Running"
        DONE = "done", "Done"
        FAILED = "failed", "Failed"

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="studies")
    design = models.ForeignKey(Design, on_delete=models.CASCADE, related_name="studies")
    design_fingerprint = models.CharField(max_length=64)
    state = models.CharField(max_length=8, choices=State.choices, default=State.RUNNING)
    progress = models.FloatField(default=0)
    progress_words = models.CharField(max_length=120, blank=True)
    problem = models.TextField(blank=True)
    problem_field = models.CharField(max_length=120, blank=True)
    request = models.JSONField(default=dict)
    """sizing's StudyRequest as a dict: the exact inputs."""
    result = models.JSONField(default=dict)
    """sizing's StudyResult as a dict."""
    headline = models.JSONField(default=dict)
    """The few figures that screens show (see ``projects.studies.headline``), so that no list reads a whole result."""
    failing_checks = models.JSONField(default=list)
    """Labels of the design checks that fail."""
    on = models.DateField(default=timezone.localdate)
    heard_at = models.DateTimeField(default=timezone.now)
    """When a running study last gave a sign of life."""
    attempts = models.PositiveIntegerField(default=1)
    """How often it was begun; a run whose process ended is begun again."""
    started_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["job", "-id"])]

    def __str__(self) -> str:
        return f"Study {self.pk} of job {self.job_id}"
