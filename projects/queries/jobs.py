"""Lists of jobs, and finding one."""

from __future__ import annotations

import re

from django.db.models import Q, QuerySet

from projects.actions.standing import turn_day
from projects.models import Job

NOT_LISTED = ("recommendation", "kind_reason", "outcome_reason", "search_text")


def job_list(text: str = "", *, closed_too: bool = False) -> QuerySet[Job]:
    """The base of every list: one query with all that a row shows, the earliest due first."""
    turn_day()
    jobs = Job.objects.select_related("customer", "site", "jurisdiction", "utility", "assigned_to").defer(*NOT_LISTED)
    if not closed_too:
        jobs = jobs.filter(outcome=Job.Outcome.OPEN)
    return matching(jobs, text).order_by("due_on", "number")


def search(text: str) -> QuerySet[Job]:
    """Jobs that contain every word, closed ones too."""
    return job_list(text, closed_too=True)


def matching(jobs: QuerySet[Job], text: str) -> QuerySet[Job]:
    """Every word is somewhere in number, name, address, phone, e-mail or permit number; phones in any spelling."""
    phone = re.sub(r"\D", "", text)
    if len(phone) >= 7 and re.fullmatch(r"[\d\s().+-]+", text.strip()):
        return jobs.filter(search_text__contains=phone[-10:])
    wanted = Q()
    for word in text.lower().split():
        wanted &= Q(search_text__contains=word)
    return jobs.filter(wanted)
