"""The job page, the crew's day and the owner's pipeline: right, and with a constant number of queries."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.utils import timezone

from projects import queries
from projects.actions import closing, inspections, office, permits, study
from projects.models import Job, Stage
from projects.route.stages import STAGE_KEYS
from tests.factories import crew_person, job_at, lead, licence, office_person
from tests.pace import quiet_ms
from tests.queries.crowd import crowd

pytestmark = pytest.mark.django_db


def read(page: queries.JobPage) -> str:
    """Everything that a page about a job reads."""
    seen = [
        page.standing.next_step,
        page.headline,
        page.study_is_current,
        page.job.customer.name,
        page.job.site.address,
    ]
    seen += [(p.name, o.kind) for p in page.job.site.roof_planes.all() for o in page.job.site.obstructions.all()]
    seen += [line.name for line in page.job.load_lines.all()]
    for permit in page.permits:
        for submission in permit.submissions.all():
            seen += [submission.submitted_by.name, submission.licence and submission.licence.holder.name]
            seen += [comment.answered_by and comment.answered_by.name for comment in submission.comments.all()]
    for inspection in page.inspections:
        seen += [c.fixed_by and c.fixed_by.name for c in inspection.corrections.all()]
    if page.interconnection:
        seen += [request.answered_by for request in page.interconnection.requests.all()]
    seen += [paper.issued_by.name for paper in page.papers] + [mark.recorded_by.name for mark in page.marks]
    seen += [photo.added_by.name for photo in page.evidence] + [waiver.waived_by.name for waiver in page.waivers]
    seen += [page.design.module.name, page.design.battery] if page.design else []
    seen += [(entry.actor and entry.actor.name, sentence) for entry, sentence in page.journal]
    return str(seen)


def test_a_page_takes_the_same_queries_early_and_late(django_assert_max_num_queries) -> None:
    early, late = lead(), job_at("done")
    busy = job_at("permits")
    for _ in range(3):
        permits.submit_permit(
            job=busy, kind="building", actor=office_person(), on=timezone.localdate(), how="online",
            licence=licence("contractor"),
        )  # fmt: skip
        permits.record_corrections(
            job=busy, kind="building", actor=office_person(), on=timezone.localdate(), comments=["One.", "Two."]
        )
        for comment in busy.permits.get().submissions.latest("round").comments.all():
            permits.answer_comment(comment=comment, actor=office_person(), answer="Yes.", on=timezone.localdate())
    for job in (early, late, busy):
        with django_assert_max_num_queries(46):
            page = queries.job_page(job.number)
            assert page is not None
            read(page)
    assert queries.job_page(9999) is None


def test_a_page_holds_what_happened() -> None:
    page = queries.job_page(job_at("operation").number)
    assert page is not None
    assert [permit.kind for permit in page.permits] == ["building", "electrical"]
    assert page.study_is_current
    assert page.headline["array_kw"] == pytest.approx(6.4)
    assert len(page.journal) == 30
    assert page.journal[0][0].pk > page.journal[1][0].pk
    assert page.interconnection is not None
    assert page.interconnection.meter_set_on is not None


def test_a_page_begins_a_study_again_that_went_silent() -> None:
    job = job_at("permits")
    run = study.begin_study(job=job, actor=office_person())
    job.studies.filter(pk=run.pk).update(heard_at=timezone.now() - timedelta(minutes=5))
    page = queries.job_page(job.number)
    assert page is not None
    assert page.study is not None
    assert (page.study.state, page.study.attempts, page.done_study is not None) == ("done", 2, True)


@pytest.mark.parametrize("size", [10, 40])
def test_the_crews_day_takes_the_same_queries_however_long(size: int, django_assert_max_num_queries) -> None:
    for _ in range(size // 10):
        for stage in ("site_assessment", "installation", "inspection"):
            job_at(stage)
    with django_assert_max_num_queries(26):
        for row in queries.crew_steps():
            [plane.name for plane in row.job.site.roof_planes.all()]
            str((row.job.customer.name, row.job.site.address, row.steps, row.corrections, row.job.jurisdiction))


def test_the_crew_sees_its_own_steps_and_what_the_inspector_found() -> None:
    job_at("lead")
    job = job_at("inspection")
    assert queries.crew_steps() == []
    booked = inspections.book_inspection(job=job, kind="final", actor=office_person(), on=timezone.localdate())
    inspections.record_inspection(
        inspection=booked,
        actor=office_person(),
        result="corrections",
        on=timezone.localdate(),
        corrections=["A.", "B."],
    )
    (row,) = queries.crew_steps()
    assert row.job == job
    assert [step.key for step in row.steps] == ["final_corrections"]
    assert [correction.text for correction in row.corrections] == ["A.", "B."]
    for correction in row.corrections:
        inspections.fix_correction(correction=correction, actor=crew_person(), on=timezone.localdate())
    assert queries.crew_steps() == []


@pytest.mark.parametrize("size", [10, 40])
def test_the_pipeline_is_five_queries_however_long(size: int, django_assert_num_queries) -> None:
    crowd(size)
    with django_assert_num_queries(5):
        line = queries.pipeline()
        str([(job.customer.name, job.site.city, job.jurisdiction) for job in line.oldest])


def test_the_pipeline_adds_up() -> None:
    one, two, done = job_at("permits"), job_at("permits"), job_at("done")
    lost = lead()
    office.set_price(job=one, actor=office_person(), price_usd=Decimal("20000"))
    office.set_price(job=done, actor=office_person(), price_usd=Decimal("99000"))
    closing.close_job(job=lost, actor=office_person(), outcome="lost", reason="They move.")
    line = queries.pipeline()
    assert [stage.key for stage in line.stages] == list(STAGE_KEYS)
    permits_stage = next(stage for stage in line.stages if stage.key == "permits")
    assert (permits_stage.jobs, permits_stage.value_usd, permits_stage.unpriced) == (2, Decimal("20000"), 1)
    assert (line.jobs, line.value_usd, line.closed) == (2, Decimal("20000"), {"lost": 1})
    assert sum(party.jobs for party in line.parties) == 2
    assert set(line.oldest) == {one, two}
    assert permits_stage.oldest_since == min(one.stage_since, two.stage_since)


def test_stages_of_model_and_route_are_the_same() -> None:
    assert tuple(Stage.values) == STAGE_KEYS


@contextmanager
def no_sequential_scan() -> Iterator[None]:
    """PostgreSQL reads a table of few rows as a whole, and is right to: here it is asked what it could do."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SET LOCAL enable_seqscan = off")
    yield


@pytest.mark.speed
def test_a_thousand_jobs_are_read_quickly() -> None:
    """Under 50 ms of this process's own time each, as a quiet machine takes it."""
    jobs = crowd(1000)
    page_of = next(job for job in jobs if job.stage == "operation" and job.marks.exists())
    reads = {
        "list": lambda: [job.customer.name for job in queries.job_list()[:50]],
        "search": lambda: list(queries.search("dune 77")[:50]),
        "page": lambda: queries.job_page(page_of.number),
        "pipeline": queries.pipeline,
        "duplicates": lambda: list(queries.duplicates_of(name="Household 7", zip_code="28557", phone="2525550007")),
    }
    for name, reading in reads.items():
        took = quiet_ms(reading, 3, within=50)
        assert took < 50, f"{name}: {took:.0f} ms"
        print(f"{name}: {took:.1f} ms")


def test_lists_use_their_indexes() -> None:
    plans = {
        "by stage": Job.objects.filter(outcome="", stage="permits").order_by("due_on"),
        "by party": Job.objects.filter(outcome="", waiting_on="utility").order_by("due_on"),
        "the base": Job.objects.filter(outcome="").order_by("due_on", "number"),
        "falling due": Job.objects.filter(outcome="", fresh_until__lte=timezone.localdate()),
    }
    for name, jobs in plans.items():
        with no_sequential_scan():
            assert "INDEX" in jobs.explain().upper(), name
