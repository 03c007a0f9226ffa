"""Studies of a design: run here and now, or in the background with progress on the row.

A study takes seconds, so it never runs inside a transaction: the row is begun in one, finished in another.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import date

from django.utils import timezone

from projects import studies
from projects.actions import background
from projects.actions.background import is_gone
from projects.actions.findings import today
from projects.actions.problems import Problem, Problems
from projects.actions.recording import recording
from projects.actions.redraw import current_design
from projects.actions.roles import OFFICE, require
from projects.models import Design, Job, Person, StudyRun

log = logging.getLogger(__name__)


def run_study(
    *, job: Job, actor: Person, progress: Callable[[str, float], None] | None = None, on: date | None = None
) -> StudyRun:
    """Runs a study of the current design to its end. Raises Problems where the design can't be studied."""
    run = begin_study(job=job, actor=actor, on=on)
    return _carry_out(run, job, actor, progress)


def start_study(*, job: Job, actor: Person) -> StudyRun:
    """Starts a study in the background and returns its row at once; one that is running already is returned instead."""
    running = StudyRun.objects.filter(job=job, state=StudyRun.State.RUNNING).order_by("-pk").first()
    design = current_design(job)
    if running is not None and design is not None and running.design_id == design.pk and not is_gone(running):
        require(actor, OFFICE)
        return running
    run = begin_study(job=job, actor=actor)
    background.launch(run, carry_on)
    return run


def begin_study(*, job: Job, actor: Person, on: date | None = None) -> StudyRun:
    """The row of a study that is about to run. The journal gets its row when the study ends."""
    with recording(job, actor, OFFICE) as book:
        on = on or today()
        book.findings.happened(job, on)
        design = current_design(job)
        if design is None:
            book.findings.add("", "There is no design to study yet.")
        book.findings.refuse()
        assert design is not None
        run = StudyRun.objects.create(
            job=job, design=design, design_fingerprint=design.fingerprint, on=on, started_by=actor
        )
        book.unchanged()
    return run


def _carry_out(run: StudyRun, job: Job, actor: Person, progress: Callable[[str, float], None] | None) -> StudyRun:
    design = Design.objects.select_related("module", "inverter", "battery", "generator").get(pk=run.design_id)

    def tell(words: str, fraction: float) -> None:
        background.tell(run, words, fraction)
        if progress is not None:
            progress(words, fraction)

    try:
        request, result = studies.run(studies.study_request_of(job, design), tell)
    except studies.InputErrors as errors:
        problems = studies.problems_of(errors)
        _fail(run, job, actor, design, problems)
        raise Problems(problems) from errors
    except Exception:
        log.exception("study %s failed", run.pk)
        _fail(run, job, actor, design, [Problem("", "The study failed; the log says why.")])
        raise
    figures = studies.headline(result)
    with recording(job, actor, OFFICE) as book:
        ended = background.living(run).update(
            state=StudyRun.State.DONE,
            progress=1.0,
            progress_words="Done",
            request=request,
            result=result,
            headline=figures,
            failing_checks=figures["checks_failing"],
            finished_at=timezone.now(),
            heard_at=timezone.now(),
        )
        if not ended:  # another attempt has taken over
            book.unchanged()
            return run
        book.write(
            "study_done", run.on, revision=design.revision_letter, study=run.pk, failing=figures["checks_failing"]
        )
    run.refresh_from_db()
    return run


def _fail(run: StudyRun, job: Job, actor: Person, design: Design, problems: list[Problem]) -> None:
    words = "\n".join(problem.message for problem in problems)
    with recording(job, actor, OFFICE) as book:
        if not background.fail(run, words, next((problem.field for problem in problems if problem.field), "")):
            book.unchanged()
            return
        book.write("study_failed", run.on, revision=design.revision_letter, study=run.pk)
    run.refresh_from_db()


def carry_on(run: background.Run) -> None:
    """What a background thread does with a study's row, at the first try and at any later one."""
    begun = StudyRun.objects.select_related("job", "started_by").get(pk=run.pk)
    _carry_out(begun, begun.job, begun.started_by, None)


def settle(run: StudyRun) -> StudyRun:
    """For whoever shows progress: a study whose process is gone is begun again."""
    background.settle(run, carry_on)
    return run


__all__ = ["begin_study", "carry_on", "is_gone", "run_study", "settle", "start_study"]
