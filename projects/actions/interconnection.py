"""The utility's side, from application to permission to operate. Each fact has its own day and is recorded once."""

from __future__ import annotations

from datetime import date
from typing import Any

from projects.actions.facts import ac_kw
from projects.actions.findings import in_words
from projects.actions.recording import Book, recording, written_once
from projects.actions.redraw import current_design
from projects.actions.roles import OFFICE
from projects.actions.route_checks import follows, must_be_open
from projects.models import Interconnection, Job, Person, UtilityRequest
from projects.route.holds import operation_problems
from projects.route.requirements.interconnection import LEVELS, level_by_size


def submit_application(*, job: Job, actor: Person, on: date, number: str = "") -> Interconnection:
    """The application goes in, beside the permits, with the current design."""
    with recording(job, actor, OFFICE) as book:
        _row(job)
        if len(number.strip()) > 60:
            book.findings.add("number", "At most 60 characters.")
        design = current_design(job)
        more: dict[str, Any] = {"number": number.strip(), "design_fingerprint": design.fingerprint if design else ""}
        if design is not None:
            # By today's thresholds: a utility that moves them later changes nothing for an application that is in.
            more |= {"level": level_by_size(book.facts), "applied_kw_ac": ac_kw(design.frozen)}
        _record(book, "application", "submitted_on", on, "application_submitted", **more)
    return _row(job)


def revise_application(*, job: Job, actor: Person, on: date) -> Interconnection:
    """The utility is told of the current design, which is another than the one applied for."""
    with recording(job, actor, OFFICE) as book:
        row = _row(job)
        must_be_open(book, "application_matches_design")
        design = current_design(job)
        if book.findings.happened(job, on):
            book.findings.not_before(on, row.revised_on or row.submitted_on, "the utility was told before")
            if design is not None:
                book.findings.not_before(on, design.on, "the design was drawn up")
        book.findings.refuse()
        assert design is not None
        untold = Interconnection.objects.filter(pk=row.pk, design_fingerprint=row.design_fingerprint)
        written_once(
            untold.update(
                design_fingerprint=design.fingerprint,
                revised_on=on,
                level=level_by_size(book.facts),
                applied_kw_ac=ac_kw(design.frozen),
            )
        )
        book.write("application_revised", on, revision=design.revision_letter)
    return _row(job)


def record_complete(*, job: Job, actor: Person, on: date) -> Interconnection:
    """The utility says that the application is complete."""
    with recording(job, actor, OFFICE) as book:
        _record(book, "application_complete", "complete_on", on, "application_complete")
    return _row(job)


def record_queue(*, job: Job, actor: Person, on: date, position: int) -> Interconnection:
    """Where the application stands in the utility's queue, as told on that day; the latest word counts."""
    with recording(job, actor, OFFICE) as book:
        row = _row(job)
        _under_review(book, row, on, row.queue_on or row.submitted_on, "the last word of it")
        if position is None or not 1 <= position <= 100_000:
            book.findings.add("position", "A place in the queue, from 1.")
        book.findings.refuse()
        Interconnection.objects.filter(pk=row.pk).update(queue_position=position, queue_on=on)
        book.write("application_queued", on, position=position)
    return _row(job)


def place_on_level(*, job: Job, actor: Person, on: date, level: int) -> Interconnection:
    """The utility takes the application on another level than its size says, as it told on that day."""
    with recording(job, actor, OFFICE) as book:
        row = _row(job)
        _under_review(book, row, on, row.revised_on or row.submitted_on, "the utility was told of this design")
        if level not in LEVELS:
            book.findings.add("level", f"One of the levels {', '.join(map(str, LEVELS))}.")
        elif level == row.level:
            book.findings.add("level", "The application is on that level already.")
        book.findings.refuse()
        Interconnection.objects.filter(pk=row.pk).update(level=level)
        book.write("application_level", on, level=level, name=LEVELS[level])
    return _row(job)


def pass_screens(*, job: Job, actor: Person, on: date) -> Interconnection:
    """The fast track's technical screens are passed."""
    with recording(job, actor, OFFICE) as book:
        _record(book, "screens", "screens_passed_on", on, "screens_passed")
    return _row(job)


def finish_grid_study(*, job: Job, actor: Person, on: date) -> Interconnection:
    """The utility has finished its study of what the system does to its network."""
    with recording(job, actor, OFFICE) as book:
        _record(book, "grid_study", "study_done_on", on, "grid_study_done")
    return _row(job)


def order_meter(*, job: Job, actor: Person, on: date) -> Interconnection:
    with recording(job, actor, OFFICE) as book:
        _record(book, "meter_ordered", "meter_ordered_on", on, "meter_ordered")
    return _row(job)


def record_utility_request(*, job: Job, actor: Person, on: date, text: str) -> UtilityRequest:
    """The utility asks for something more before it approves."""
    with recording(job, actor, OFFICE) as book:
        row = _row(job)
        book.findings.need("text", text, "Write down what the utility asks for.")
        if row.submitted_on is None:
            book.findings.add("", "First: submit the interconnection application.")
        if row.permission_on is not None:
            book.findings.add("", "Permission to operate is granted already.")
        if book.findings.happened(job, on):
            book.findings.not_before(on, row.submitted_on, "the application was submitted")
        book.findings.refuse()
        request = UtilityRequest.objects.create(interconnection=row, text=text.strip(), asked_on=on)
        book.write("utility_request", on, request=request.pk)
    return request


def answer_utility_request(*, request: UtilityRequest, actor: Person, on: date, answer: str) -> UtilityRequest:
    job = request.interconnection.job
    with recording(job, actor, OFFICE) as book:
        request.refresh_from_db()
        book.findings.need("answer", answer, "Say how it is answered.")
        if book.findings.happened(job, on):
            book.findings.not_before(on, request.asked_on, "it was asked")
        if request.answered_on is not None:
            book.findings.add("", f"Already answered on {in_words(request.answered_on)}.")
        book.findings.refuse()
        unanswered = UtilityRequest.objects.filter(pk=request.pk, answered_on=None)
        written_once(unanswered.update(answer=answer.strip(), answered_on=on, answered_by=actor))
        book.write("utility_request_answered", on, request=request.pk)
    request.refresh_from_db()
    return request


def approve_interconnection(*, job: Job, actor: Person, on: date) -> Interconnection:
    with recording(job, actor, OFFICE) as book:
        _record(book, "utility_approval", "approved_on", on, "interconnection_approved")
    return _row(job)


def sign_agreement(*, job: Job, actor: Person, on: date) -> Interconnection:
    """The customer has signed the interconnection agreement."""
    with recording(job, actor, OFFICE) as book:
        _record(book, "agreement", "agreement_signed_on", on, "agreement_signed")
    return _row(job)


def send_inspection(*, job: Job, actor: Person, on: date) -> Interconnection:
    """The passed final inspection is sent to the utility."""
    with recording(job, actor, OFFICE) as book:
        _record(book, "inspection_sent", "inspection_sent_on", on, "inspection_sent")
    return _row(job)


def set_meter(*, job: Job, actor: Person, on: date) -> Interconnection:
    with recording(job, actor, OFFICE) as book:
        _record(book, "meter", "meter_set_on", on, "meter_set")
    return _row(job)


def pass_witness_test(*, job: Job, actor: Person, on: date) -> Interconnection:
    with recording(job, actor, OFFICE) as book:
        _record(book, "witness", "witness_passed_on", on, "witness_passed")
    return _row(job)


def grant_permission(*, job: Job, actor: Person, on: date, number: str = "") -> Interconnection:
    """Permission to operate: only after the final inspection and everything the utility asks for."""
    with recording(job, actor, OFFICE) as book:
        book.findings.extend("", operation_problems(book.facts))
        if len(number.strip()) > 60:
            book.findings.add("number", "At most 60 characters.")
        more = {"permission_number": number.strip()}
        _record(book, "permission", "permission_on", on, "permission_granted", **more)
    return _row(job)


def _row(job: Job) -> Interconnection:
    return Interconnection.objects.get_or_create(job=job)[0]


def _under_review(book: Book, row: Interconnection, on: date, since: date | None, what: str) -> None:
    """What the utility tells while it looks at the application, no earlier than ``what`` on ``since``."""
    if row.submitted_on is None or row.approved_on is not None:
        book.findings.add("", "The application isn't under review.")
    elif book.findings.happened(book.job, on):
        book.findings.not_before(on, since, what)


def _record(book: Book, key: str, column: str, on: date, kind: str, **more: Any) -> None:
    """Sets one day of the interconnection once, where the route says that it may be set now."""
    if book.findings.happened(book.job, on):
        follows(book, key, on)
    must_be_open(book, key)
    book.findings.refuse()
    row = _row(book.job)
    written_once(Interconnection.objects.filter(pk=row.pk, **{column: None}).update(**{column: on}, **more))
    book.write(kind, on)
