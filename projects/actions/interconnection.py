"""The utility's side, from application to permission to operate. Each fact has its own day and is recorded once."""

from __future__ import annotations

from datetime import date
from typing import Any

from projects.actions.findings import in_words
from projects.actions.recording import Book, recording, written_once
from projects.actions.redraw import current_design
from projects.actions.roles import OFFICE
from projects.actions.route_checks import follows, must_be_open
from projects.models import Interconnection, Job, Person, UtilityRequest
from projects.route.holds import operation_problems


def submit_application(*, job: Job, actor: Person, on: date, number: str = "") -> Interconnection:
    """The application goes in, beside the permits, with the current design."""
    with recording(job, actor, OFFICE) as book:
        _row(job)
        if len(number.strip()) > 60:
            book.findings.add("number", "At most 60 characters.")
        design = current_design(job)
        more = {"number": number.strip(), "design_fingerprint": design.fingerprint if design else ""}
        _record(book, "application", "submitted_on", on, "application_submitted", **more)
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


def _record(book: Book, key: str, column: str, on: date, kind: str, **more: Any) -> None:
    """Sets one day of the interconnection once, where the route says that it may be set now."""
    if book.findings.happened(book.job, on):
        follows(book, key, on)
    must_be_open(book, key)
    book.findings.refuse()
    row = _row(book.job)
    written_once(Interconnection.objects.filter(pk=row.pk, **{column: None}).update(**{column: on}, **more))
    book.write(kind, on)
