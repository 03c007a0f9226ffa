"""Which papers a job has, which of them can go out now, and why the others can't."""

from __future__ import annotations

from dataclasses import dataclass

from paperwork.kinds import KINDS, PaperKind
from paperwork.sources import sources_of
from projects.actions.problems import Problem
from projects.models import Job
from projects.screens.office.papers import PAPERS, belongs


@dataclass(frozen=True)
class Ready:
    kind: PaperKind
    problems: tuple[Problem, ...]
    """Why it can't be issued now; empty when it can."""


def kinds_of(job: Job) -> list[PaperKind]:
    """The job's kinds of paper in the order in which a job needs them; invoices have their own page."""
    return [KINDS[kind] for kind in PAPERS if belongs(job, kind)]


def readiness(job: Job) -> list[Ready]:
    sources = sources_of(job)
    return [Ready(kind, tuple(kind.problems(sources))) for kind in kinds_of(job)]
