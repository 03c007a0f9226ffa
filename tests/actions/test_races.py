"""Two people at once: the second one is told, and nothing is written twice."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.db import IntegrityError
from django.utils import timezone

from projects.actions import inspections, intake, interconnection, marks, permits, recording
from projects.actions.problems import Problems
from projects.models import Inspection, Interconnection, Job, JobMark, Permit, PermitSubmission
from tests.factories import job_at, lead, licence, office_person

pytestmark = pytest.mark.django_db


def meanwhile(monkeypatch: pytest.MonkeyPatch, module, name: str, other: Callable[[], object]) -> None:
    """Lets ``other`` happen between an action's look and its writing, as on a database without row locks."""
    looked = getattr(module, name)

    def look_then(*given, **more):
        answer = looked(*given, **more)
        other()
        return answer

    monkeypatch.setattr(module, name, look_then)


def test_a_stale_copy_of_the_job_is_read_afresh() -> None:
    job = job_at("inspection")
    stale = Job.objects.get(pk=job.pk)
    inspections.book_inspection(job=job, kind="final", actor=office_person(), on=timezone.localdate())
    with pytest.raises(Problems, match="Booked already"):
        inspections.book_inspection(job=stale, kind="final", actor=office_person(), on=timezone.localdate())


def test_a_mark_recorded_meanwhile_is_not_recorded_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    job = job_at("installation")

    def other() -> None:
        JobMark.objects.create(job=job, key="equipment_ordered", on=timezone.localdate(), recorded_by=office_person())

    meanwhile(monkeypatch, marks, "must_be_open", other)
    before = job.journal.count()
    with pytest.raises(Problems, match="a moment ago"):
        marks.record_mark(job=job, key="equipment_ordered", on=timezone.localdate(), actor=office_person())
    assert job.journal.count() == before


def test_a_permit_issued_meanwhile_is_not_issued_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    job = job_at("permits")
    permits.submit_permit(
        job=job, kind="building", actor=office_person(), on=timezone.localdate(), how="online",
        licence=licence("contractor"),
    )  # fmt: skip

    def other() -> None:
        PermitSubmission.objects.filter(permit__job=job).update(outcome="corrections", outcome_on=timezone.localdate())

    meanwhile(monkeypatch, permits, "_in_review", other)
    with pytest.raises(Problems, match="a moment ago"):
        permits.issue_permit(job=job, kind="building", actor=office_person(), on=timezone.localdate(), number="B-1")
    assert Permit.objects.get(job=job).issued_on is None


def test_an_approval_recorded_meanwhile_keeps_its_day(monkeypatch: pytest.MonkeyPatch) -> None:
    job = job_at("interconnection")
    told = {"job": job, "actor": office_person(), "on": timezone.localdate()}
    interconnection.submit_application(**told)
    first = timezone.localdate() - timedelta(days=1)

    def other() -> None:
        Interconnection.objects.filter(job=job).update(approved_on=first)

    meanwhile(monkeypatch, interconnection, "must_be_open", other)
    with pytest.raises(Problems, match="a moment ago"):
        interconnection.approve_interconnection(**told)


def test_an_inspection_decided_meanwhile_keeps_its_result(monkeypatch: pytest.MonkeyPatch) -> None:
    job = job_at("inspection")
    booked = inspections.book_inspection(job=job, kind="final", actor=office_person(), on=timezone.localdate())

    def other() -> None:
        Inspection.objects.filter(pk=booked.pk).update(result="cancelled")

    meanwhile(monkeypatch, inspections, "installation_problems", other)
    with pytest.raises(Problems, match="a moment ago"):
        inspections.record_inspection(
            inspection=booked, actor=office_person(), result="passed", on=timezone.localdate()
        )


def test_two_leads_at_once_get_two_numbers(monkeypatch: pytest.MonkeyPatch) -> None:
    lead()
    create = Job.objects.bulk_create
    tries: list[int] = []

    def create_late(jobs):
        tries.extend(job.number for job in jobs)
        if len(tries) == 1:
            raise IntegrityError("UNIQUE constraint failed: projects_job.number")
        return create(jobs)

    monkeypatch.setattr(Job.objects, "bulk_create", create_late)
    assert lead().number == 2
    assert tries == [2, 2]


def test_another_broken_constraint_is_not_taken_for_a_race() -> None:
    job = lead()
    with pytest.raises(IntegrityError), recording.recording(job, office_person(), frozenset({"office"})) as book:
        JobMark.objects.create(job=job, key=None, on=timezone.localdate(), recorded_by=office_person())
        book.unchanged()


def test_an_action_without_a_journal_row_is_a_mistake_of_the_code() -> None:
    job = lead()
    with (
        pytest.raises(RuntimeError, match="without a journal row"),
        recording.recording(job, office_person(), frozenset({"office"})),
    ):
        Job.objects.filter(pk=job.pk).update(source="radio")
    job.refresh_from_db()
    assert job.source == ""


def test_a_problem_leaves_nothing_behind() -> None:
    job = lead()
    before = job.journal.count()
    with pytest.raises(Problems):
        intake.decide_system_type(job=job, kind="grid_tied", actor=office_person())
    job.refresh_from_db()
    assert (job.system_kind, job.journal.count()) == ("", before)
