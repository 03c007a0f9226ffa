"""Issuing a paper: freeze the facts, lay out the pages, keep bytes and hash, tell the route. All or nothing."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from paperwork.changes import changes
from paperwork.freeze import common_facts
from paperwork.kinds import KINDS, PaperKind
from paperwork.models import IssuedPaper
from paperwork.pdf import CannotLayOut, Pdf
from paperwork.sources import Sources, sources_of
from projects.actions import roles
from projects.actions.papers import record_paper_issued
from projects.actions.problems import Problem, Problems, refuse_if
from projects.models import Job, Person

NEVER_ISSUED = "preview"


def paper_kind(kind: str) -> PaperKind:
    """Raises Problems for a kind that doesn't exist."""
    if kind not in KINDS:
        raise Problems([Problem("kind", "There is no such paper.")])
    return KINDS[kind]


def paper_problems(*, job: Job, kind: str) -> list[Problem]:
    """Why this paper can't be issued now; empty when it can."""
    return paper_kind(kind).problems(sources_of(job))


def issue_paper(*, job: Job, kind: str, actor: Person) -> IssuedPaper:
    """A new issue with the next number. Raises NotAllowed, or Problems with every reason against it."""
    roles.require(actor, roles.OFFICE)
    declared = paper_kind(kind)
    with transaction.atomic():
        # Holding the job's row gives the issues of a job their order (SQLite: the transaction itself does).
        Job.objects.select_for_update().get(pk=job.pk)
        sources = sources_of(job)
        refuse_if(declared.problems(sources))
        before = IssuedPaper.objects.filter(job=job, kind=kind).order_by("-issue").first()
        issue = before.issue + 1 if before else 1
        number = f"{job.label}-{declared.code}-{issue}"
        at = timezone.now().replace(microsecond=0)
        facts = _frozen(sources, declared, number, issue, at)
        facts["changes"] = changes(before.facts, facts, declared.shown) if before else []
        facts["replaces"] = before.number if before else ""
        pdf = _pages(declared, facts, preview=False)
        fingerprint = sources.design.fingerprint if declared.shows_design and sources.design else ""
        paper = IssuedPaper.objects.create(
            job=job,
            kind=kind,
            number=number,
            issue=issue,
            issued_at=at,
            issued_by=actor,
            design_fingerprint=fingerprint,
            facts=facts,
            changes=facts["changes"],
            content=pdf.content,
            sha256=pdf.sha256,
            pages=pdf.pages,
        )
        record_paper_issued(
            job=job,
            actor=actor,
            kind=kind,
            on=timezone.localdate(at),
            number=number,
            design_fingerprint=fingerprint,
        )
    return paper


def preview_paper(*, job: Job, kind: str, actor: Person) -> Pdf:
    """What it would look like, with a watermark; nothing is kept and nothing is recorded."""
    roles.require(actor, roles.FIELD)
    return draft(job=job, kind=kind)


def draft(*, job: Job, kind: str) -> Pdf:
    """The preview itself, for whoever runs the book's commands. Raises Problems."""
    declared = paper_kind(kind)
    sources = sources_of(job)
    refuse_if(declared.problems(sources))
    facts = _frozen(sources, declared, f"{job.label}-{declared.code}", 0, timezone.now().replace(microsecond=0))
    facts |= {"changes": [], "replaces": ""}
    return _pages(declared, facts, preview=True)


def _frozen(sources: Sources, kind: PaperKind, number: str, issue: int, at: datetime) -> dict[str, Any]:
    return kind.facts(sources, common_facts(sources.job, kind=kind.key, number=number, issue=issue, at=at))


def _pages(kind: PaperKind, facts: dict[str, Any], *, preview: bool) -> Pdf:
    try:
        return kind.pages(facts, preview)
    except CannotLayOut as problem:
        raise Problems([Problem("", f"{problem}. Shorten names or lists.")]) from problem
