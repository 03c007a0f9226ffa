"""A job rests for a while, with a cause, a reason and a day on which somebody looks again; and goes on."""

from __future__ import annotations

from datetime import date, timedelta

from projects.actions.findings import in_words, today
from projects.actions.recording import Book, recording, written_once
from projects.actions.roles import OFFICE
from projects.models import Job, Pause, Person

MOST_DAYS = 365
CHOSEN = tuple(cause for cause in Pause.Cause.values if cause != Pause.Cause.CLOSED)
"""What the office may name; a closed job rests by itself."""


def pause_job(
    *, job: Job, actor: Person, cause: str, reason: str, look_again_on: date, on: date | None = None
) -> Pause:
    """The job rests from ``on``, today unless it was agreed earlier. Facts that come in meanwhile are recorded."""
    with recording(job, actor, OFFICE) as book:
        on = on or today()
        if cause not in CHOSEN:
            book.findings.add("cause", "Choose why it rests.")
        if cause == Pause.Cause.MORATORIUM and job.system_kind == "off_grid":
            book.findings.add("cause", "An off-grid job has no utility.")
        book.findings.need("reason", reason, "Say what happened.")
        if book.findings.happened(job, on):
            last = job.pauses.order_by("-ended_on").values_list("ended_on", flat=True).first()
            book.findings.not_before(on, last, "the pause before ended")
        _may_look_again(book, look_again_on)
        if book.standing.paused is not None:
            book.findings.add("", f"It is paused already, until {in_words(book.standing.paused.look_again_on)}.")
        elif not book.standing.next_steps:
            book.findings.add("", "Everything is done on this job: there is nothing to pause.")
        book.findings.refuse()
        pause = Pause.objects.create(
            job=job, cause=cause, reason=reason.strip(), on=on, look_again_on=look_again_on, paused_by=actor
        )
        label = str(Pause.Cause(cause).label)
        book.write(
            "paused",
            on,
            day=look_again_on.isoformat(),
            cause=label[:1].lower() + label[1:],
            reason=reason.strip(),
        )
    return pause


def look_again_later(*, job: Job, actor: Person, look_again_on: date, reason: str) -> Pause:
    """Somebody looked, and it rests on until another day."""
    with recording(job, actor, OFFICE) as book:
        pause = _running(book)
        book.findings.need("reason", reason, "Say why it rests on.")
        _may_look_again(book, look_again_on)
        book.findings.refuse()
        assert pause is not None
        unmoved = Pause.objects.filter(pk=pause.pk, ended_on=None, look_again_on=pause.look_again_on)
        written_once(unmoved.update(look_again_on=look_again_on))
        book.write("pause_moved", day=look_again_on.isoformat(), reason=reason.strip())
    pause.refresh_from_db()
    return pause


def resume_job(*, job: Job, actor: Person, on: date | None = None) -> Pause:
    """The job goes on; ``on`` is the first day that counts again."""
    with recording(job, actor, OFFICE) as book:
        on = on or today()
        pause = _running(book)
        if book.findings.happened(job, on) and pause is not None:
            book.findings.not_before(on, pause.on, "it was paused")
        book.findings.refuse()
        assert pause is not None
        end_pause(job, actor, on)
        book.write("resumed", on, days=(on - pause.on).days)
    pause.refresh_from_db()
    return pause


def end_pause(job: Job, actor: Person, on: date) -> None:
    """Ends the running pause, if there is one; for actions that end it in passing."""
    job.pauses.filter(ended_on=None).update(ended_on=on, ended_by=actor)


def _running(book: Book) -> Pause | None:
    pause = book.job.pauses.filter(ended_on=None).first()
    if pause is None:
        book.findings.add("", "This job is not paused.")
    return pause


def _may_look_again(book: Book, day: date | None) -> None:
    if day is None or day <= today():
        book.findings.add("look_again_on", "Choose a day after today.")
    elif day > today() + timedelta(days=MOST_DAYS):
        book.findings.add("look_again_on", "At most a year ahead: look at it again before that.")
