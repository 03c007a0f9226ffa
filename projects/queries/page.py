"""Everything that a page about one job shows, with a constant number of queries."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from projects.actions import journal
from projects.actions.facts import Rows
from projects.actions.findings import today as office_today
from projects.actions.study import settle
from projects.models import (
    Design,
    Evidence,
    Inspection,
    Interconnection,
    Job,
    JobMark,
    JournalEntry,
    LeadAnswers,
    PaperIssue,
    Permit,
    StudyRun,
    Waiver,
)
from projects.queries.journal import journal_by_day
from projects.route.facts import JobFacts
from projects.route.standing import standing
from projects.route.standing_types import Standing

JOURNAL_LINES = 30


@dataclass(frozen=True)
class JobPage:
    job: Job
    today: date
    facts: JobFacts
    standing: Standing
    answers: LeadAnswers | None
    permits: tuple[Permit, ...]
    """With ``submissions`` (licence, comments) loaded, oldest round first."""
    void_permits: tuple[Permit, ...]
    inspections: tuple[Inspection, ...]
    interconnection: Interconnection | None
    papers: tuple[PaperIssue, ...]
    """Newest first."""
    marks: tuple[JobMark, ...]
    waivers: tuple[Waiver, ...]
    evidence: tuple[Evidence, ...]
    design: Design | None
    study: StudyRun | None
    """The latest one, whatever became of it; ``request`` and ``result`` are not loaded."""
    done_study: StudyRun | None
    """The latest finished one."""
    journal: tuple[tuple[JournalEntry, str], ...]
    """The last entries with their sentences, newest first."""

    @property
    def headline(self) -> dict[str, Any]:
        return self.done_study.headline if self.done_study else {}

    @property
    def study_is_current(self) -> bool:
        return bool(self.design and self.done_study and self.done_study.design_fingerprint == self.design.fingerprint)


def job_page(number: int) -> JobPage | None:
    """None where there is no such job."""
    job = (
        Job.objects.filter(number=number)
        .select_related("customer", "site", "jurisdiction", "utility", "assigned_to", "duplicate_of")
        .first()
    )
    if job is None:
        return None
    # What the standing was computed from is shown as well: it is read once.
    rows = Rows([job], shown=True)
    facts = rows.facts(job, office_today())
    studies = StudyRun.objects.filter(job=job).defer("request", "result").order_by("-pk")
    study, done = studies.first(), rows.studies.get(job.pk)
    entries = journal_by_day(job)[:JOURNAL_LINES]
    return JobPage(
        job=job,
        today=facts.today,
        facts=facts,
        standing=standing(facts),
        answers=rows.answers.get(job.pk),
        permits=tuple(rows.permits[job.pk]),
        void_permits=tuple(rows.void_permits[job.pk]),
        inspections=tuple(rows.inspections[job.pk]),
        interconnection=rows.interconnections.get(job.pk),
        papers=tuple(reversed(rows.paper_issues[job.pk])),
        marks=tuple(rows.marks[job.pk]),
        waivers=tuple(rows.waivers[job.pk]),
        evidence=tuple(rows.evidence[job.pk]),
        design=rows.designs.get(job.pk),
        study=settle(study) if study else None,
        done_study=done,
        journal=tuple(journal.sentences(entries)),
    )
