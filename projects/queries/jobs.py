"""Lists of jobs, and finding one.

Every order of the list is an index (``projects.models.job.LIST_ORDERS``). A page takes three queries, whatever the
number of jobs: how many there are, the numbers on the page from the index alone, and what is shown of these few jobs.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import connection
from django.db.models import BooleanField, DateField, Exists, F, Func, OuterRef, QuerySet, Subquery
from django.db.models.lookups import Exact, In, IsNull, LessThan

from projects.actions.standing import turn_day
from projects.models import Job, ListedAs, SearchTerm, Stage
from projects.models.search_term import LONGEST_TERM
from projects.words import wanted_terms

NOT_LISTED = ("recommendation", "kind_reason", "search_text", "household_key")
MOST_PRESSING_FIRST = ("due_up", "number")


SHOWN_IN_A_ROW = (
    *("number", "system_kind", "price_usd", "received_at", "outcome", "outcome_reason"),
    *("stage", "next_step", "next_key", "waiting_on_name", "due_on", "gates"),
    *("customer__name", "site__street", "site__city"),
    *(f"assigned_to__{part}" for part in ("first_name", "last_name", "username")),
)


def in_full() -> QuerySet[Job]:
    """Jobs with all that a row of a list shows."""
    return Job.objects.select_related("customer", "site", "jurisdiction", "utility", "assigned_to").defer(*NOT_LISTED)


def job_list(text: str = "", *, closed_too: bool = False) -> QuerySet[Job]:
    """The base of every list: one query with all that a row shows, the earliest due first."""
    turn_day()
    jobs = in_full() if closed_too else in_full().filter(outcome=Job.Outcome.OPEN)
    return matching(jobs, text).order_by(*MOST_PRESSING_FIRST)


def page_of(jobs: QuerySet[Job], start: int, stop: int, total: int) -> list[Job]:
    """``jobs[start:stop]`` of ``total`` with what a row shows: two queries.

    What lies in the second half is counted from the end, so that the last page is as quick as the first.
    """
    numbers = jobs.select_related(None).values_list("number", flat=True)
    stop = min(stop, total)
    if start > total // 2:
        found = list(numbers.reverse()[total - stop : total - start])[::-1]
    else:
        found = list(numbers[start:stop])
    shown = Job.objects.select_related("customer", "site", "assigned_to").only(*SHOWN_IN_A_ROW)
    rows = {job.number: job for job in shown.filter(number__in=found).order_by()}
    return [rows[number] for number in found if number in rows]


def counted(jobs: QuerySet[Job], conditions: Mapping[str, Any], listed_as: str = "", stage: str = "") -> int:
    """How many of ``jobs`` are listed so and meet the conditions of ``narrowed``: by the columns of the indexes that
    serve all counts."""
    if listed_as in (ListedAs.LOST, ListedAs.CANCELLED):
        jobs = jobs.filter(outcome=listed_as)
    elif listed_as == ListedAs.IN_SERVICE:
        jobs = jobs.filter(outcome=Job.Outcome.OPEN, stage=Stage.IN_SERVICE)
    elif listed_as == ListedAs.OPEN:
        before = [each for each in Stage.values if each != Stage.IN_SERVICE]
        jobs = jobs.filter(outcome=Job.Outcome.OPEN, stage__in=[stage] if stage else before)
    elif stage:
        jobs = jobs.filter(outcome__in=Job.Outcome.values)
    for column, value in conditions.items():
        if column in ("waiting_on", "due_before"):
            jobs = jobs.filter(outcome=Job.Outcome.OPEN)  # what is over waits on nobody and is never due
        jobs = jobs.filter(**{"due_on__lt" if column == "due_before" else column: value})
    return (jobs.filter(stage=stage) if stage else jobs).order_by().count()


def search(text: str) -> QuerySet[Job]:
    """Jobs that contain every word, closed ones too."""
    return job_list(text, closed_too=True)


MANY = 1500
"""Found jobs beyond which a page is found quicker along the list's order than from what was found."""


class Along(Func):
    """The same value, by a way that the database doesn't know as an index: it walks the list's order instead, whose
    index has all that a list is narrowed by, until the page is full. PostgreSQL finds that out by itself for anything
    but a range of days."""

    template = "%(expressions)s"
    arity = 1

    def as_sqlite(self, compiler: Any, database: Any, **context: Any) -> Any:
        return self.as_sql(compiler, database, template="+%(expressions)s", **context)

    def as_postgresql(self, compiler: Any, database: Any, **context: Any) -> Any:
        of_days = isinstance(self.output_field, DateField)
        return self.as_sql(compiler, database, template="(%(expressions)s + 0)" if of_days else None, **context)


class OneOf(Func):
    """``OneOf(F("pk"), Found(rows))``: PostgreSQL may take few found rows for many and walk the list's order for them;
    an array it has to make first."""

    template = "%(expressions)s"
    arg_joiner = " = ANY"
    arity = 2
    output_field = BooleanField()


class Found(Subquery):
    template = "(ARRAY(%(subquery)s))"


def narrowed(jobs: QuerySet[Job], conditions: Mapping[str, Any]) -> QuerySet[Job]:
    """Jobs of which each column has this value, None included; ``due_before`` a day: those due before it."""
    for column, value in conditions.items():
        if column == "due_before":
            jobs = jobs.filter(LessThan(Along(F("due_up")), value))
        else:
            way = Along(F(column))
            jobs = jobs.filter(IsNull(way, True) if value is None else Exact(way, value))
    return jobs


def matching(jobs: QuerySet[Job], text: str, *, found: int = 0) -> QuerySet[Job]:
    """Every word begins a word of number, name, address, phone, e-mail or permit number; phones in any spelling.

    ``found``: how many there are, where that is known.
    """
    terms = wanted_terms(text, LONGEST_TERM)
    if not terms:
        return jobs
    if 0 < found <= MANY and connection.vendor == "postgresql":
        return jobs.filter(OneOf(F("pk"), Found(matches(text).values("job"))))
    first = SearchTerm.objects.filter(term__begins=terms[0]).values("job")
    jobs = jobs.filter(In(Along(F("pk")), first.query)) if found > MANY else jobs.filter(pk__in=first)
    for term in terms[1:]:
        jobs = jobs.filter(Exists(SearchTerm.objects.filter(job=OuterRef("pk"), term__begins=term)))
    return jobs


def matches(text: str) -> QuerySet[SearchTerm]:
    """The same by the terms alone, without a look at the jobs: ``values("job")`` may hold one more than once."""
    first, *others = wanted_terms(text, LONGEST_TERM) or [""]
    found = SearchTerm.objects.filter(term__begins=first) if first else SearchTerm.objects.all()
    for term in others:
        found = found.filter(Exists(SearchTerm.objects.filter(job=OuterRef("job"), term__begins=term)))
    return found
