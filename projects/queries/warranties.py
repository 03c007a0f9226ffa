"""The register of warranties."""

from __future__ import annotations

from datetime import date, timedelta

from django.db.models import Q, QuerySet

from projects.models import SearchTerm, Warranty
from projects.models.search_term import LONGEST_TERM
from projects.words import wanted_terms

ENDING_SOON_DAYS = 180
"""Half a year leaves time for a look at the system while the maker still answers: common practice, no source."""


def warranty_list(*, today: date, text: str = "", show: str = "running") -> QuerySet[Warranty]:
    """``show``: "running", "soon" (ends within half a year), "ended" or "all". Every word must be found in the job's
    name, address and so on, or in what is covered."""
    rows = Warranty.objects.select_related("job__customer", "job__site").only(
        "covers", "years", "starts_on", "ends_on", "job__number", "job__customer__name", "job__site__street",
        "job__site__city",
    )  # fmt: skip
    if show == "soon":
        rows = rows.filter(ends_on__gte=today, ends_on__lte=today + timedelta(days=ENDING_SOON_DAYS))
    elif show == "running":
        rows = rows.filter(ends_on__gte=today)
    elif show == "ended":
        rows = rows.filter(ends_on__lt=today)
    for word in wanted_terms(text, LONGEST_TERM):
        jobs = SearchTerm.objects.filter(term__begins=word).values("job")
        rows = rows.filter(Q(job__in=jobs) | Q(covers__icontains=word))
    return rows.order_by("ends_on", "pk")


def ending_soon(today: date) -> int:
    return warranty_list(today=today, show="soon").count()
