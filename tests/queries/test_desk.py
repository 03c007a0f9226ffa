"""The desk: all that waits for the office, each once, by consequence, with a constant number of queries."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from projects.actions import closing, inspections, interconnection, pausing, permits, snoozing
from projects.actions.standing import refresh
from projects.models import Inspection, Insurance, Job, Licence, Pause, Permit, PlanComment
from projects.queries.desk import desk
from tests.factories import LicenceFactory, Story, job_at, lead, office_person, owner_person
from tests.pace import quiet_ms
from tests.queries.crowd import crowd

pytestmark = pytest.mark.django_db


def told(**asked) -> list[tuple[int, str, str, int | None]]:
    return [
        (section.level, line.matter.kind, line.matter.key, line.job.number if line.job else None)
        for section in desk(**asked).sections
        for line in section.lines
    ]


def test_a_lead_is_a_promise_with_a_clock() -> None:
    job = lead(days_ago=0)
    assert told() == [(2, "first_look", job.next_key, job.number)]
    matter = desk().first.matter
    assert matter.deadline == job.received_at + timedelta(hours=24)


def test_a_late_customer_is_called_and_a_punctual_one_left_alone() -> None:
    late = job_at("site_assessment")
    Job.objects.filter(pk=late.pk).update(
        waiting_on="customer", next_key="go_ahead", due_on=timezone.localdate() - timedelta(days=1), fresh_until=None
    )
    assert [(level, kind) for level, kind, _, _ in told()] == [(4, "call")]
    Job.objects.filter(pk=late.pk).update(due_on=timezone.localdate())
    assert told() == []


def test_corrections_and_the_utility_s_question_wait_for_an_answer() -> None:
    job = job_at("permits")
    story = Story(job, "hybrid")
    story.day = timezone.localdate() - timedelta(days=20)
    story.submit("building")
    actor, day = office_person(), story.day
    permits.record_corrections(job=job, kind="building", actor=actor, on=day, comments=["Show X."])
    interconnection.submit_application(job=job, actor=actor, on=day)
    interconnection.record_utility_request(job=job, actor=actor, on=day, text="A photo.")
    found = told()
    assert (3, "answer", "permit_building_corrections", job.number) in found
    assert (3, "answer", "utility_requests", job.number) in found
    assert len(found) == len(set(found)), "each matter stands on the desk once"
    for section in desk().sections:
        for line in section.lines:
            if line.matter.kind == "answer":
                assert line.requirement is not None
                assert line.matter.due == line.requirement.due_on, "the desk and the route count the same days"
    comment = PlanComment.objects.get()
    permits.answer_comment(comment=comment, actor=actor, answer="Sheet 2.", on=day)
    story.submit("building")
    assert "permit_building_corrections" not in [key for _, _, key, _ in told()]


@pytest.mark.parametrize(("days", "key", "level"), [(-2, "renewal", 1), (5, "expiry", 1), (25, "expiry", 6)])
def test_a_permit_that_runs_out_under_the_work(days, key, level) -> None:
    job = job_at("installation")
    Permit.objects.filter(job=job, kind="building").update(expires_on=timezone.localdate() + timedelta(days=days))
    refresh(job)
    assert (level, "permit_expiry", f"permit_building_{key}", job.number) in told()
    Permit.objects.filter(job=job).update(expires_on=timezone.localdate() + timedelta(days=31))
    refresh(job)
    assert not [kind for _, kind, _, _ in told() if kind == "permit_expiry"]


def test_no_permit_worries_after_the_final_inspection() -> None:
    job = job_at("interconnection")
    Permit.objects.filter(job=job).update(expires_on=timezone.localdate() + timedelta(days=3))
    assert not [kind for _, kind, _, _ in told() if kind == "permit_expiry"]


@pytest.mark.parametrize(("days", "level"), [(-1, 1), (7, 1), (30, 5), (60, 6), (61, None)])
def test_licences_warn_sixty_thirty_and_seven_days_before(days, level) -> None:
    Licence.objects.all().delete()
    LicenceFactory(expires_on=timezone.localdate() + timedelta(days=days))
    assert [found[0] for found in told()] == ([level] if level else [])


def test_insurance_warns_by_the_policy_that_ends_last() -> None:
    Licence.objects.all().delete()
    today = timezone.localdate()
    cover = {"kind": "liability", "insurer": "Harbour Mutual", "starts_on": today - timedelta(days=400)}
    Insurance.objects.create(number="1", expires_on=today - timedelta(days=35), **cover)
    last = Insurance.objects.create(number="2", expires_on=today + timedelta(days=29), **cover)
    assert [(level, kind, key) for level, kind, key, _ in told()] == [
        (5, "insurance_expiry", f"insurance_{last.pk}_30")
    ]


def test_a_paused_job_comes_to_the_desk_on_its_day() -> None:
    job, clerk = job_at("engineering"), office_person()
    today = timezone.localdate()
    later = today + timedelta(days=5)
    pausing.pause_job(job=job, actor=clerk, cause="weather", reason="Storm season.", look_again_on=later)
    assert not [row for row in told() if row[3] == job.number]
    Pause.objects.filter(job=job).update(on=today - timedelta(days=9), look_again_on=today)
    refresh(job)
    assert (4, "look_again", "look_again", job.number) in told()


def test_an_inspection_is_booked_and_its_result_asked_for() -> None:
    job = job_at("inspection")
    assert [(kind, key) for _, kind, key, _ in told()] == [("answer", "final_booked")]
    booked = inspections.book_inspection(job=job, kind="final", actor=office_person(), on=timezone.localdate())
    assert "final_passed" not in [key for _, _, key, _ in told()]
    Inspection.objects.filter(pk=booked.pk).update(booked_for=timezone.localdate() - timedelta(days=1))
    assert (3, "answer", "final_passed", job.number) in told()


def test_what_is_put_off_leaves_the_desk_until_its_day() -> None:
    job = lead()
    today = timezone.localdate()
    snoozing.snooze(job=job, key=job.next_key, actor=office_person(), until=today + timedelta(days=2), reason="Away.")
    assert told() == []
    assert [snooze.job_id for snooze in desk().put_off] == [job.pk]
    assert told(today=today + timedelta(days=2)) != []
    snoozing.end_snooze(job=job, key=job.next_key, actor=office_person())
    assert told() != []


def test_what_stops_work_comes_back_though_it_was_put_off() -> None:
    job = job_at("installation")
    today = timezone.localdate()
    Permit.objects.filter(job=job, kind="building").update(expires_on=today + timedelta(days=12))
    key = "permit_building_expiry"
    snoozing.snooze(job=job, key=key, actor=office_person(), until=today + timedelta(days=5), reason="Sent.")
    assert key not in [found[2] for found in told()]
    Permit.objects.filter(job=job, kind="building").update(expires_on=today + timedelta(days=4))
    assert (1, "permit_expiry", key, job.number) in told()


def test_closed_jobs_and_other_people_s_jobs_are_not_mine() -> None:
    mine, other, closed = lead(), lead(street="2 Heron Way"), lead(street="3 Heron Way")
    closing.close_job(job=closed, actor=office_person(), outcome="lost", reason="Moved.")
    Job.objects.filter(pk=mine.pk).update(assigned_to=owner_person())
    assert {number for _, _, _, number in told()} == {mine.number, other.number}
    assert {number for _, _, _, number in told(assigned_to=owner_person().pk)} == {mine.number}


def test_nothing_to_do_is_an_empty_desk() -> None:
    Licence.objects.all().delete()
    assert desk().sections == ()
    assert desk().first is None


@pytest.mark.speed
def test_a_thousand_jobs_cost_as_many_queries_as_ten() -> None:
    counts = []
    for size in (10, 1000):
        crowd(size)
        desk()
        with CaptureQueriesContext(
            connection,
        ) as queries:
            desk()
        counts.append(len(queries))
    assert counts[0] == counts[1]
    assert quiet_ms(desk, rounds=5, within=50) < 50
