"""Studies: run to their end, in the background, failed, gone silent; and the figures taken from them."""

from __future__ import annotations

import threading
from datetime import timedelta

import pytest
from django.utils import timezone

from projects import studies
from projects.actions import background, design, revive, study
from projects.actions.problems import NotAllowed, Problems
from projects.models import Job, StudyRun
from sizing.errors import InputError, InputErrors
from sizing.study.codec import request_from_dict, request_to_dict
from tests.factories import catalogue, crew_person, job_at, office_person, run_study

pytestmark = pytest.mark.django_db


def drawn(kind: str = "hybrid", **changes) -> Job:
    job = job_at("engineering", kind, **changes)
    design.save_design(
        job=job, actor=office_person(), plane_modules=[{"plane": "South roof", "modules": 16}], **catalogue(kind)
    )
    return job


def test_a_study_keeps_request_result_and_headline() -> None:
    job = drawn()
    heard: list[tuple[str, float]] = []
    run = study.run_study(job=job, actor=office_person(), progress=lambda words, part: heard.append((words, part)))
    assert (run.state, run.progress) == ("done", 1.0)
    assert [part for _, part in heard] == sorted(part for _, part in heard)
    assert request_to_dict(request_from_dict(run.request)) == run.request
    figures = run.headline
    assert figures["array_kw"] == pytest.approx(16 * 0.4)
    assert figures["battery_kwh"] == pytest.approx(2 * 13.5)
    assert figures["voc_limit_v"] == 600
    assert figures["busbar_a"] == 225
    assert figures["ride_through_words"]
    assert run.failing_checks == figures["checks_failing"]
    assert job.journal.last().kind == "study_done"


def test_the_request_says_what_the_job_knows() -> None:
    job = drawn(wants_loan=True, monthly_kwh=[800.0] * 12)
    current = job.designs.get()
    asked = studies.study_request_of(job, current)
    assert (asked.site.latitude_deg, asked.site.time_zone) == (34.86, "America/New_York")
    assert asked.climate.record_low_c == job.jurisdiction.record_low_c
    assert asked.usage.monthly_kwh == (800.0,) * 12
    assert asked.tariff is not None
    assert asked.tariff.energy_usd_per_kwh == pytest.approx(0.135)
    assert asked.battery is not None
    assert asked.battery.units == 2
    assert asked.backup.wanted_days == 2
    assert asked.appliances[0].name == "Refrigerator"
    # By hand: 16 x 170 + 3300 + 2 x 6700 = 19 420; times 1.9 = 36 898, in hundreds 36 900.
    assert asked.loan is not None
    assert asked.loan.principal_usd == 36_900


def test_an_off_grid_house_has_no_tariff() -> None:
    job = drawn("off_grid")
    assert studies.study_request_of(job, job.designs.get()).tariff is None


def test_a_study_that_cannot_run_names_the_field_and_the_row_says_why(monkeypatch: pytest.MonkeyPatch) -> None:
    job = drawn()

    def refuse(*_: object) -> None:
        raise InputErrors([InputError("planes[0].modules", "too many"), InputError("module.voc_v", "too high")])

    monkeypatch.setattr(studies, "run", refuse)
    with pytest.raises(Problems) as problems:
        study.run_study(job=job, actor=office_person())
    assert [p.field for p in problems.value] == ["plane_modules", "module"]
    run = job.studies.get()
    assert (run.state, run.problem_field) == ("failed", "plane_modules")
    assert job.journal.last().kind == "study_failed"


def test_a_crash_is_a_failed_study_and_not_hidden(monkeypatch: pytest.MonkeyPatch) -> None:
    job = drawn()

    def crash(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(studies, "run", crash)
    with pytest.raises(ZeroDivisionError):
        study.run_study(job=job, actor=office_person())
    assert job.studies.get().state == "failed"


def test_the_crew_runs_no_studies_and_nothing_is_studied_without_a_design() -> None:
    job = job_at("engineering")
    with pytest.raises(NotAllowed):
        study.start_study(job=job, actor=crew_person())
    with pytest.raises(Problems, match="no design"):
        study.start_study(job=job, actor=office_person())


def test_a_study_of_an_earlier_design_no_longer_counts() -> None:
    job = drawn()
    run_study(job, office_person())
    assert job.next_key != "study"
    design.save_design(job=job, actor=office_person(), battery_count=1)
    assert job.next_key == "study"


def test_a_running_study_is_not_started_twice() -> None:
    job = drawn()
    running = study.begin_study(job=job, actor=office_person())
    assert study.start_study(job=job, actor=office_person()) == running
    assert job.studies.count() == 1


def left_behind(job: Job, **changes) -> StudyRun:
    """A study whose process ended before it did."""
    run = study.begin_study(job=job, actor=office_person())
    StudyRun.objects.filter(pk=run.pk).update(heard_at=timezone.now() - timedelta(minutes=3), progress=0.4, **changes)
    run.refresh_from_db()
    return run


def test_a_study_whose_process_ended_is_begun_again_by_whoever_looks() -> None:
    job = drawn()
    running = study.begin_study(job=job, actor=office_person())
    assert study.settle(running).state == "running"
    left = left_behind(job)
    assert study.settle(left).state == "done"
    assert (left.attempts, job.journal.last().kind) == (2, "study_done")
    assert left.headline["array_kw"] == pytest.approx(6.4)


def test_a_study_that_never_ends_is_given_up_after_three_tries() -> None:
    left = left_behind(drawn(), attempts=background.MOST_ATTEMPTS)
    assert study.settle(left).state == "failed"
    assert left.problem and left.finished_at


def test_a_start_up_finds_what_the_last_one_left() -> None:
    job = drawn()
    left, alive = left_behind(job), study.begin_study(job=job, actor=office_person())
    assert revive.revive_gone() == 1
    left.refresh_from_db()
    alive.refresh_from_db()
    assert (left.state, alive.state, alive.attempts) == ("done", "running", 1)
    assert revive.revive_gone() == 0


def test_only_one_of_two_that_look_begins_it_again() -> None:
    left = left_behind(drawn())
    other = StudyRun.objects.get(pk=left.pk)
    begun = []
    background.settle(left, begun.append)
    background.settle(other, begun.append)
    assert len(begun) == 1 and other.attempts == 2


def test_a_worker_believed_dead_writes_nothing_when_it_comes_back(monkeypatch: pytest.MonkeyPatch) -> None:
    job = drawn()
    run = study.begin_study(job=job, actor=office_person())
    computed = studies.run

    def slow(*given: object) -> object:
        StudyRun.objects.filter(pk=run.pk).update(attempts=2)  # meanwhile somebody else has begun it again
        return computed(*given)

    monkeypatch.setattr(studies, "run", slow)
    rows = job.journal.count()
    study.carry_on(run)
    run.refresh_from_db()
    assert (run.state, run.result, job.journal.count()) == ("running", {}, rows)


def test_changes_since_a_study_are_named() -> None:
    job = drawn()
    run = study.run_study(job=job, actor=office_person())
    current = job.designs.get()
    assert studies.changed_since(run.request, job, current) == []
    job.load_lines.create(name="Fan", watts=50, hours_per_day=5)
    job.site.obstructions.create(kind="tree", bearing_deg=90, distance_m=9, height_m=9, width_m=4)
    assert studies.changed_since(run.request, job, current) == ["what stands in the sun's way", "the load worksheet"]


@pytest.mark.parametrize(
    ("tenth", "median", "words"),
    [
        (12, 31.4, "12 h in 9 of 10 outages, 31 h in half of them"),
        (60, 400, "2.5 days in 9 of 10 outages, 14 days or more in half of them"),
    ],
)
def test_ride_through_in_words(tenth: float, median: float, words: str) -> None:
    ride = {"tenth_percentile_hours": tenth, "median_hours": median, "horizon_hours": 336}
    assert studies.ride_through_words(ride) == words


@pytest.mark.django_db(transaction=True)
def test_in_the_background_it_ends_by_itself(settings) -> None:
    job = drawn()
    settings.STUDIES_IN_BACKGROUND = True
    run = study.start_study(job=job, actor=office_person())
    # SQLite in memory can't be read and written at once, so this doesn't poll as a browser does.
    worker = next(thread for thread in threading.enumerate() if thread.name == f"study-{run.pk}")
    worker.join(timeout=60)
    run.refresh_from_db()
    assert (run.state, run.headline["array_kw"]) == ("done", pytest.approx(6.4))
    assert job.journal.last().kind == "study_done"
