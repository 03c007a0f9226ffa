"""The job journal as people read it: by the day on which a thing happened."""

from __future__ import annotations

from django.db.models import QuerySet
from django.db.models.functions import Coalesce, TruncDate

from projects.models import Job, JournalEntry


def journal_by_day(job: Job) -> QuerySet[JournalEntry]:
    """The latest day first (``on_day``, in the office's time); of one day, what was entered last comes first.

    What is entered late stands at its own day, not above what happened after it.
    """
    day = Coalesce("effective_on", TruncDate("at"))
    return job.journal.select_related("actor").annotate(on_day=day).order_by("-on_day", "-pk")
