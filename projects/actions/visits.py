"""The day of the latest record made at the house."""

from __future__ import annotations

from datetime import date

from projects.models import Job, Site


def assessed(job: Job, on: date) -> None:
    """Somebody looked at the house that day."""
    Site.objects.filter(pk=job.site_id, assessed_on=None).update(assessed_on=on)
    Site.objects.filter(pk=job.site_id, assessed_on__lt=on).update(assessed_on=on)
    job.refresh_from_db()
