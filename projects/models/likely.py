"""A job's likely dates as last forecast: kept, so that a page about one job reads one row instead of simulating."""

from __future__ import annotations

from django.db import models


class LikelyDates(models.Model):
    """Written by ``projects.queries.likely`` alone, out of the job's facts; nothing is lost when a row is.

    Days on or between which a date falls with 50 and 90 % probability; None where it has come true already.
    """

    job = models.OneToOneField("Job", on_delete=models.CASCADE, related_name="likely")
    made_on = models.DateField()
    """The office's day from which it looked ahead."""
    after_entry = models.PositiveBigIntegerField()
    """Primary key of the job's last journal entry then: a later one makes the dates out of date."""
    thinnest = models.PositiveIntegerField()
    """Finished jobs behind the least known of the legs ahead."""
    install_low90 = models.DateField(null=True)
    install_low50 = models.DateField(null=True)
    install_middle = models.DateField(null=True, db_index=True)
    install_high50 = models.DateField(null=True)
    install_high90 = models.DateField(null=True)
    operate_low90 = models.DateField(null=True)
    operate_low50 = models.DateField(null=True)
    operate_middle = models.DateField(null=True, db_index=True)
    operate_high50 = models.DateField(null=True)
    operate_high90 = models.DateField(null=True)

    class Meta:
        verbose_name_plural = "likely dates"

    def __str__(self) -> str:
        return f"likely dates of job {self.job_id}, made on {self.made_on}"
