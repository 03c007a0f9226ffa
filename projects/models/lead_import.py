"""A file of leads on its way in, and which of its rows became which job."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class LeadImport(models.Model):
    class State(models.TextChoices):
        MAPPING = "mapping", "Columns to be named"
        CHECKED = "checked", "Tried, nothing written yet"
        RUNNING = "running", "Half in"
        DONE = "done", "Brought in"

    filename = models.CharField(max_length=120)
    uploaded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    uploaded_at = models.DateTimeField(auto_now_add=True)
    state = models.CharField(max_length=8, choices=State.choices, default=State.MAPPING)
    headings = models.JSONField(default=list)
    rows = models.JSONField(default=list)
    """[number in the file, [cell, …]] each. Once it is brought in, only the rows that were left out stay."""
    row_count = models.PositiveIntegerField(default=0)
    columns = models.JSONField(default=dict)
    """Key of ``actions.lead_columns`` by the place of the column, as text."""
    source = models.CharField(max_length=40, blank=True)
    """How the households of rows that don't say it found us."""
    origin = models.CharField(max_length=40, blank=True)
    """Whose numbers the file's own are: the same number from elsewhere is another household."""
    known_too = models.BooleanField(default=False)
    """Households that seem to be known already come in as well."""
    problems = models.JSONField(default=list)
    """[row, heading, what stands there, why] each, of the trial; then of what was left out."""
    known = models.JSONField(default=list)
    """[row, words] each: rows that seem to be a household of the book."""
    repeated = models.PositiveIntegerField(default=0)
    """Rows that were brought in before."""
    ready = models.PositiveIntegerField(default=0)
    opened = models.PositiveIntegerField(default=0)
    place = models.PositiveIntegerField(default=0)
    """How many of the rows were gone through."""
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.filename

    @property
    def bad_rows(self) -> int:
        return len({row for row, *_ in self.problems})


class ImportedLead(models.Model):
    """Written once for each row that became a job, so that the same row never becomes a second one."""

    key = models.CharField(max_length=80, unique=True)
    lead_import = models.ForeignKey(LeadImport, on_delete=models.PROTECT, related_name="leads")
    row = models.PositiveIntegerField()
    job = models.OneToOneField("Job", on_delete=models.CASCADE, related_name="imported")

    def __str__(self) -> str:
        return self.key
