"""One change on many jobs: tried first, with nothing kept, then made job by job, each with its own journal row.

What was tried carries a stamp of each job. Making the change leaves every job alone whose stamp is another by then:
somebody recorded a fact meanwhile, or the same button was pressed twice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from time import monotonic

from django.db import transaction
from django.db.models import Max, QuerySet

from projects.actions.bulk_changes import Change
from projects.actions.problems import Problem, Problems
from projects.actions.roles import OFFICE, require
from projects.actions.standing import turn_day
from projects.models import Job, JournalEntry, Message, Person

MOST_JOBS = 500


@dataclass(frozen=True)
class Difference:
    label: str
    was: str
    becomes: str


@dataclass(frozen=True)
class Tried:
    """What the change would do to one job."""

    job: Job
    """As it stands now, before the change."""
    stamp: str
    differences: tuple[Difference, ...] = ()
    problems: tuple[Problem, ...] = ()
    """Why it can't be made."""
    letter: bool = False
    """The customer would be written to."""

    @property
    def can(self) -> bool:
        return bool(self.differences)

    @property
    def already(self) -> bool:
        return not self.differences and not self.problems


@dataclass(frozen=True)
class Refused:
    job: Job
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class Made:
    done: tuple[Job, ...]
    already: tuple[Job, ...]
    """They had it: made a moment ago by the same press, or by somebody else."""
    moved: tuple[Job, ...]
    """Left alone: something was recorded on them since the change was tried."""
    refused: tuple[Refused, ...]
    left: Mapping[int, str]
    """Stamps of those that there was no time for."""


def try_on_many(*, ids: Sequence[int], change: Change, actor: Person, seconds: float | None = None) -> list[Tried]:
    """Makes the change on each job and takes it back at once, so that what is said is what would come.

    ``ids``: primary keys. With ``seconds``, stops once they are over and at least one job is tried: those that the
    answer doesn't hold are for another call.
    """
    require(actor, OFFICE)
    _not_too_many(ids)
    turn_day()
    found = {job.pk: job for job in _whole().filter(pk__in=ids)}
    rows = [found[pk] for pk in ids if pk in found]
    stamps = _stamps(rows)
    ends = _ends(seconds)
    tried: list[Tried] = []
    for job in rows:
        if tried and monotonic() >= ends:
            break
        tried.append(_tried(job, stamps[job.pk], change, actor))
    return tried


def make_on_many(*, stamps: Mapping[int, str], change: Change, actor: Person, seconds: float | None = None) -> Made:
    """``stamps``: of the jobs wanted, by the job's primary key, as ``try_on_many`` gave them.

    Each job is its own transaction: what one refuses keeps no other from going in, and nobody waits for all.
    """
    require(actor, OFFICE)
    _not_too_many(list(stamps))
    turn_day()
    ends = _ends(seconds)
    left = dict(stamps)
    done, already, moved, refused = [], [], [], []
    for pk, stamp in stamps.items():
        if len(left) < len(stamps) and monotonic() >= ends:
            break
        del left[pk]
        with transaction.atomic():
            job = _whole().select_for_update(of=("self",)).filter(pk=pk).first()
            if job is None:
                continue
            if change.holds(job):
                already.append(job)
            elif _stamps([job])[pk] != stamp:
                moved.append(job)
            else:
                try:
                    change.make(job, actor)
                    done.append(job)
                except Problems as problems:
                    refused.append(Refused(job, problems.problems))
    return Made(tuple(done), tuple(already), tuple(moved), tuple(refused), left)


def _tried(job: Job, stamp: str, change: Change, actor: Person) -> Tried:
    if change.holds(job):
        return Tried(job, stamp)
    was = change.stands(job)
    trial = _whole().get(pk=job.pk)
    # A transaction for each: nobody who records a fact meanwhile waits until all jobs are tried.
    with transaction.atomic():
        letters = Message.objects.filter(job=trial).count()
        try:
            change.make(trial, actor)
        except Problems as problems:
            return Tried(job, stamp, problems=problems.problems)
        else:
            becomes = change.stands(trial)
            letter = Message.objects.filter(job=trial).count() > letters
        finally:
            transaction.set_rollback(True)
    found = tuple(Difference(label, was[label], words) for label, words in becomes.items() if words != was[label])
    return Tried(job, stamp, differences=found, letter=letter)


def _stamps(jobs: Iterable[Job]) -> dict[int, str]:
    """The last journal row, since every fact writes one, and the next step, which moves with the calendar too."""
    rows = {job.pk: job for job in jobs}
    latest = JournalEntry.objects.filter(job__in=rows).order_by().values_list("job").annotate(Max("pk"))
    entries = dict(latest)
    return {pk: f"{entries.get(pk, 0)}:{job.next_key}" for pk, job in rows.items()}


def _whole() -> QuerySet[Job]:
    return Job.objects.select_related("customer", "site", "jurisdiction", "utility", "assigned_to")


def _ends(seconds: float | None) -> float:
    return inf if seconds is None else monotonic() + seconds


def _not_too_many(jobs: Sequence[object]) -> None:
    if not jobs:
        raise Problems([Problem("jobs", "Choose at least one job.")])
    if len(jobs) > MOST_JOBS:
        raise Problems([Problem("jobs", f"At most {MOST_JOBS} jobs at once.")])
