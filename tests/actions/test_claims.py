"""Claims, visits and readings of a system in service."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from projects.actions import claims, crews, readings, scheduling, service_visits
from projects.actions.problems import NotAllowed, Problems
from projects.actions.standing import disagreements, standing_of
from projects.models import Job, MeterReading, StudyRun, Warranty, WarrantyClaim
from projects.queries.service import production
from tests.factories import crew_person, job_at, lead, office_person

pytestmark = pytest.mark.django_db


def today() -> date:
    return timezone.localdate()


def next_monday() -> date:
    return today() + timedelta(days=14 - today().weekday())


@pytest.fixture
def job() -> Job:
    return job_at("done")


def report(job: Job, **changes) -> WarrantyClaim:
    told = {"warranty": job.warranties.first(), "on": today(), "trouble": "The display is dark."}
    return claims.report_claim(job=job, actor=office_person(), **{**told, **changes})


def test_a_claim_opens_a_step_and_the_system_stays_in_service(job: Job) -> None:
    claim = report(job)
    assert (job.stage, job.next_key, job.waiting_on) == ("in_service", "claims_settled", "office")
    assert standing_of(job).in_service
    visit = service_visits.plan_service_visit(job=job, actor=office_person(), claim=claim, on=today())
    assert job.due_on == today()
    service_visits.record_service_visit(visit=visit, actor=crew_person(), on=today(), found="A loose plug.")
    claims.settle_claim(claim=claim, actor=office_person(), outcome="repaired", on=today(), note="Plug seated.")
    assert (job.next_key, Job.objects.get(pk=job.pk).next_step) == ("", "")
    assert disagreements(Job.objects.all()) == []


def test_a_claim_after_the_warranty_ended_is_taken_down_and_says_so(job: Job) -> None:
    warranty = job.warranties.first()
    Warranty.objects.filter(pk=warranty.pk).update(
        starts_on=today() - timedelta(days=60), ends_on=today() - timedelta(days=1)
    )
    assert not report(job).in_time
    assert "reported after it ended" in job.journal.last().data["late"]


def test_what_is_missing_of_a_claim_is_said_at_its_field(job: Job) -> None:
    other = job_at("done")
    for changes, field in (
        ({"warranty": None}, "warranty"),
        ({"warranty": other.warranties.first()}, "warranty"),
        ({"trouble": " "}, "trouble"),
        ({"on": today() + timedelta(days=1)}, "on"),
    ):
        with pytest.raises(Problems) as problems:
            report(job, **changes)
        assert [p.field for p in problems.value] == [field]
    with pytest.raises(NotAllowed):
        claims.report_claim(
            job=job, actor=crew_person(), warranty=job.warranties.first(), on=today(), trouble="It hums."
        )


def test_a_claim_is_settled_once_and_takes_its_planned_visit_along(job: Job) -> None:
    claim = report(job)
    service_visits.plan_service_visit(job=job, actor=office_person(), claim=claim, on=today() + timedelta(days=3))
    with pytest.raises(Problems, match="already"):
        service_visits.plan_service_visit(job=job, actor=office_person(), claim=claim, on=today())
    with pytest.raises(Problems) as problems:
        claims.settle_claim(claim=claim, actor=office_person(), outcome="fixed", on=today(), note="")
    assert {p.field for p in problems.value} == {"outcome", "note"}
    settled = {"claim": claim, "actor": office_person(), "outcome": "not_covered", "on": today(), "note": "Lightning."}
    claims.settle_claim(**settled)
    assert claim.visits.get().cancelled_on == today()
    with pytest.raises(Problems, match="Already settled"):
        claims.settle_claim(**settled)


def test_a_visit_planned_for_later_is_a_reminder_that_comes_by_itself(job: Job) -> None:
    job.permits.update(expires_on=None)  # a day of its own on which to look
    ahead = today() + timedelta(days=300)
    service_visits.plan_service_visit(job=job, actor=office_person(), purpose="The yearly look", on=ahead)
    assert (job.next_key, job.fresh_until) == ("", ahead - timedelta(days=14))
    near = today() + timedelta(days=14)
    service_visits.plan_service_visit(job=job, actor=office_person(), purpose="A second look", on=near)
    assert (job.next_key, job.due_on, job.crew_steps) == ("service_visit", near, 1)


def test_a_visit_needs_a_purpose_a_day_to_come_and_a_system_that_runs(job: Job) -> None:
    told = {"job": job, "actor": office_person()}
    for given, field in (
        ({"on": today()}, "purpose"),
        ({"on": today() - timedelta(days=1), "purpose": "Look"}, "on"),
        ({"on": today() + timedelta(days=5000), "purpose": "Look"}, "on"),
        ({"on": None, "purpose": "Look"}, "on"),
        ({"on": today(), "purpose": "x" * 161}, "purpose"),
    ):
        with pytest.raises(Problems) as problems:
            service_visits.plan_service_visit(**told, **given)
        assert [p.field for p in problems.value] == [field]
    with pytest.raises(Problems, match="isn't switched on"):
        service_visits.plan_service_visit(job=lead(), actor=office_person(), purpose="Look", on=today())


# ---- readings --------------------------------------------------------------------------------------------------------


def switched_on(job: Job, on: date) -> None:
    job.marks.filter(key="switched_on").update(on=on)


def expecting(job: Job, by_month: list[float]) -> None:
    run = StudyRun.objects.filter(job=job, state="done").order_by("-pk").first()
    run.result = run.result | {"production": run.result["production"] | {"ac_kwh_by_month": by_month}}
    run.save()


def read(job: Job, year: int, month: int, kwh: str) -> MeterReading:
    return readings.enter_reading(job=job, actor=office_person(), year=year, month=month, produced_kwh=Decimal(kwh))


def test_whole_months_are_compared_with_a_typical_year(job: Job) -> None:
    day = date(2026, 6, 20)
    switched_on(job, date(2026, 1, 15))
    expecting(job, [300, 400, 600, 700, 800, 900, 900, 800, 600, 500, 300, 200])
    for month, kwh in ((2, "380"), (3, "590"), (4, "400")):
        MeterReading.objects.create(
            job=job, year=2026, month=month, produced_kwh=Decimal(kwh), entered_by=office_person()
        )
    found = production(job, day)
    assert [(line.month, line.expected_kwh) for line in found.lines] == [(5, 800), (4, 700), (3, 600), (2, 400)]
    assert [line.far_off for line in found.lines] == ["", "far below a typical month", "", ""]
    # 1370 of 1700 kWh, by hand.
    assert found.together == pytest.approx(80.588, abs=0.001)
    assert found.warning == "The 3 months read gave 81 % of what the study expects"


def test_one_bad_month_is_told_and_a_plain_one_is_not(job: Job) -> None:
    switched_on(job, date(2026, 1, 1))
    expecting(job, [100.0] * 12)
    MeterReading.objects.create(job=job, year=2026, month=2, produced_kwh=Decimal(75), entered_by=office_person())
    assert production(job, date(2026, 4, 2)).warning == ""
    MeterReading.objects.create(job=job, year=2026, month=3, produced_kwh=Decimal(10), entered_by=office_person())
    assert production(job, date(2026, 4, 2)).warning == "March 2026 gave 10 % of what the study expects"


def test_a_month_begun_in_the_middle_counts_by_its_days(job: Job) -> None:
    switched_on(job, date(2026, 4, 16))
    expecting(job, [300.0] * 12)
    MeterReading.objects.create(job=job, year=2026, month=4, produced_kwh=Decimal(150), entered_by=office_person())
    assert production(job, date(2026, 5, 3)).lines[-1].percent == pytest.approx(100)


def test_a_reading_is_of_a_month_that_is_over_and_may_be_corrected(job: Job) -> None:
    switched_on(job, today().replace(day=1) - timedelta(days=200))
    over = today().replace(day=1) - timedelta(days=1)
    read(job, over.year, over.month, "412.5")
    before = job.journal.count()
    read(job, over.year, over.month, "412.5")
    assert job.journal.count() == before
    read(job, over.year, over.month, "421.5")
    assert MeterReading.objects.get().produced_kwh == Decimal("421.5")
    for year, month, kwh, field in (
        (today().year, today().month, "1", "month"),
        (2001, 5, "1", "month"),
        (over.year, 13, "1", "month"),
        (over.year, over.month, "-1", "produced_kwh"),
        (over.year, over.month, "50001", "produced_kwh"),
    ):
        with pytest.raises(Problems) as problems:
            read(job, year, month, kwh)
        assert [p.field for p in problems.value] == [field]
    with pytest.raises(Problems, match="isn't switched on"):
        read(lead(), over.year, over.month, "1")


def test_months_go_on_over_the_turn_of_the_year() -> None:
    found = readings.whole_months_since(date(2025, 11, 1), date(2026, 2, 1))
    assert found == [(2025, 11), (2025, 12), (2026, 1)]
    assert readings.whole_months_since(date(2025, 11, 2), date(2025, 12, 31)) == []


def test_a_service_visit_that_clashes_is_planned_only_by_somebody_who_saw_it() -> None:
    day = next_monday()
    north = crews.save_crew(actor=office_person(), name="North", members=[crew_person()], jobs_per_day=1)
    told = {"actor": office_person(), "on": day, "purpose": "The yearly look", "crew": north}
    service_visits.plan_service_visit(job=job_at("done"), **told)
    job = job_at("done")
    with pytest.raises(Problems, match="North is full"):
        service_visits.plan_service_visit(job=job, **told)
    assert not job.service_visits.exists()
    second = service_visits.plan_service_visit(job=job, **told, despite=True)
    assert job.journal.latest("id").data["despite"]
    with pytest.raises(Problems, match="Say why it moves"):
        service_visits.move_service_visit(visit=second, actor=office_person(), on=day + timedelta(days=1), crew=north)
    service_visits.move_service_visit(
        visit=second, actor=office_person(), on=day + timedelta(days=1), crew=north, reason="Full."
    )
    assert second.planned_for == day + timedelta(days=1)
    entries = job.journal.count()
    service_visits.move_service_visit(visit=second, actor=office_person(), on=second.planned_for, crew=north)
    assert job.journal.count() == entries, "nothing changed, nothing written"
    visit = scheduling.day_clashes(job_at("permits"), "installation", day, north, None, 1)
    assert [clash.sentence for clash in visit if "service visit" in clash.sentence], "an installation sees it"


def test_a_system_waits_since_its_claim_came_in_and_not_since_it_went_into_service(job: Job) -> None:
    job.refresh_from_db()
    begun = job.stage_since
    claim = report(job)
    job.refresh_from_db()
    assert job.stage_since == claim.reported_on > begun
    claims.settle_claim(claim=claim, actor=office_person(), outcome="nothing", on=today(), note="All was well.")
    job.refresh_from_db()
    assert job.stage_since == begun
    assert disagreements(Job.objects.all()) == []
