"""What the crew records at the house, and what that does to a design already drawn."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from projects.actions import installing, loads, site
from projects.actions.problems import NotAllowed, Problems
from projects.models import Job
from tests.factories import PersonFactory, crew_person, job_at, office_person

pytestmark = pytest.mark.django_db
PLANE = {"name": "East roof", "tilt_deg": 30.0, "azimuth_deg": 90.0, "width_m": 8.0, "slope_length_m": 4.0}


@pytest.fixture
def job() -> Job:
    return job_at("site_assessment")


def service(job: Job, **changes):
    given = {"rating_a": 200, "busbar_a": 200, "main_breaker_a": 200, "free_spaces": 4}
    return site.record_service(job=job, actor=crew_person(), **{**given, **changes})


def fields(problems) -> set[str]:
    return {problem.field for problem in problems.value}


def test_the_visit_is_booked_and_moved_by_the_office(job: Job) -> None:
    with pytest.raises(NotAllowed):
        site.book_visit(job=job, actor=crew_person(), on=timezone.localdate())
    for days in (3, 5):
        site.book_visit(job=job, actor=office_person(), on=timezone.localdate() + timedelta(days=days))
    assert job.journal.filter(kind="visit_booked").count() == 2
    assert job.crew_steps == 4
    site.book_visit(job=job, actor=office_person(), on=job.visit_on)
    assert job.journal.filter(kind="visit_booked").count() == 2


def test_no_visit_without_a_go_ahead() -> None:
    with pytest.raises(Problems, match="go-ahead"):
        site.book_visit(job=job_at("lead"), actor=office_person(), on=timezone.localdate())


def test_a_visit_years_ahead_is_a_slip(job: Job) -> None:
    with pytest.raises(Problems):
        site.book_visit(job=job, actor=office_person(), on=timezone.localdate() + timedelta(days=900))


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"rating_a": 5}, "rating_a"),
        ({"busbar_a": 5000}, "busbar_a"),
        ({"main_breaker_a": None}, "main_breaker_a"),
        ({"free_spaces": -1}, "free_spaces"),
        ({"busbar_a": 150}, "busbar_a"),
        ({"on": timezone.localdate() + timedelta(days=3)}, "on"),
    ],
)
def test_a_service_that_cannot_be_is_refused(job: Job, changes: dict, field: str) -> None:
    with pytest.raises(Problems) as problems:
        service(job, **changes)
    assert field in fields(problems)
    job.site.refresh_from_db()
    assert job.site.service_rating_a is None


def test_a_plane_is_saved_changed_and_removed(job: Job) -> None:
    plane = site.save_roof_plane(job=job, actor=crew_person(), **PLANE)
    before = job.journal.count()
    site.save_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk, **PLANE)
    assert job.journal.count() == before
    site.save_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk, tilt_deg=32.0)
    plane.refresh_from_db()
    assert plane.tilt_deg == 32
    site.remove_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk)
    assert not job.site.roof_planes.exists()
    with pytest.raises(Problems, match="no longer there"):
        site.remove_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk)


def test_a_plane_that_cannot_be_is_refused_field_by_field(job: Job) -> None:
    site.save_roof_plane(job=job, actor=crew_person(), **PLANE)
    with pytest.raises(Problems) as problems:
        site.save_roof_plane(job=job, actor=crew_person(), **{**PLANE, "tilt_deg": 95, "width_m": 0, "covering": "hay"})
    assert fields(problems) == {"tilt_deg", "width_m", "covering", "name"}


def test_another_houses_plane_is_out_of_reach(job: Job) -> None:
    other = job_at("site_assessment")
    plane = site.save_roof_plane(job=other, actor=crew_person(), **PLANE)
    with pytest.raises(Problems):
        site.save_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk, tilt_deg=5.0)
    with pytest.raises(Problems):
        site.remove_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk)


def test_nothing_in_the_suns_way_or_something(job: Job) -> None:
    site.record_no_obstructions(job=job, actor=crew_person())
    assert job.site.obstructions_none_on is not None
    tree = {"kind": "tree", "bearing_deg": 120.0, "distance_m": 10.0, "height_m": 8.0, "width_m": 5.0}
    site.save_obstruction(job=job, actor=crew_person(), **tree)
    assert job.site.obstructions_none_on is None
    with pytest.raises(Problems, match="remove them first"):
        site.record_no_obstructions(job=job, actor=crew_person())
    with pytest.raises(Problems) as problems:
        site.save_obstruction(job=job, actor=crew_person(), **{**tree, "crown_base_m": 9.0})
    assert fields(problems) == {"crown_base_m"}


def test_a_licence_holder_records_nothing(job: Job) -> None:
    with pytest.raises(NotAllowed):
        site.save_roof_plane(job=job, actor=PersonFactory(role="licence_holder"), **PLANE)


def test_a_bare_plane_more_leaves_the_design_alone() -> None:
    job = job_at("permits")
    site.save_roof_plane(job=job, actor=crew_person(), **PLANE)
    assert job.designs.count() == 1
    assert job.stage == "permits"


def test_another_busbar_makes_a_new_revision_and_drops_the_reviews() -> None:
    job = job_at("permits")
    service(job, rating_a=200, busbar_a=225, main_breaker_a=175, free_spaces=6)
    entry = job.journal.last()
    assert entry.data["new_revision"] == "B"
    assert entry.data["dropped"] == ["electrician_review", "contractor_review"]
    assert job.designs.latest("revision").frozen["service"]["main_breaker_a"] == 175
    assert job.stage == "engineering"
    assert job.marks.filter(withdrawn_at=None, key="contract_signed").exists()


def test_a_renamed_plane_keeps_its_modules() -> None:
    job = job_at("permits")
    plane = job.site.roof_planes.get()
    site.save_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk, name="South, lower")
    current = job.designs.latest("revision")
    assert current.plane_modules == [{"plane": "South, lower", "modules": 16}]
    assert job.designs.earliest("revision").plane_modules == [{"plane": "South roof", "modules": 16}]


def test_measured_again_the_same_is_the_same_design() -> None:
    job = job_at("permits")
    service(job, rating_a=200, busbar_a=225, main_breaker_a=200, free_spaces=6)
    assert job.designs.count() == 1


def test_the_worksheet_is_replaced_as_a_whole(job: Job) -> None:
    line = {"name": "Fan", "watts": 60, "hours_per_day": 8}
    loads.set_loads(job=job, actor=office_person(), lines=[line, {**line, "name": "Lamp", "months": [1, 2]}])
    assert [(row.name, row.order) for row in job.load_lines.all()] == [("Fan", 0), ("Lamp", 1)]
    with pytest.raises(Problems) as problems:
        loads.set_loads(
            job=job,
            actor=office_person(),
            lines=[{**line, "watts": 0}, {**line, "hours_per_day": 25, "months": [13]}, {"name": "", "kind": "tool"}],
        )
    assert fields(problems) == {"lines"}
    assert any(p.message.startswith("Line 2 (Fan), months") for p in problems.value)
    assert job.load_lines.count() == 2


def test_a_motors_code_letter_and_starts_are_checked(job: Job) -> None:
    with pytest.raises(Problems) as problems:
        loads.save_load_line(
            job=job, actor=office_person(), name="Pump", watts=900, hours_per_day=1, kind="well_pump", code_letter="Q",
            horsepower=-1, count=0, voltage_v=12,
        )  # fmt: skip
    assert fields(problems) == {"code_letter", "horsepower", "count", "voltage_v"}


def test_another_jobs_line_is_out_of_reach(job: Job) -> None:
    line = loads.save_load_line(job=job_at("lead"), actor=office_person(), name="Fan", watts=60, hours_per_day=8)
    with pytest.raises(Problems):
        loads.save_load_line(job=job, actor=office_person(), line_id=line.pk, watts=70)
    with pytest.raises(Problems):
        loads.remove_load_line(job=job, actor=office_person(), line_id=line.pk)


def test_the_installation_is_booked_only_with_permits() -> None:
    with pytest.raises(Problems, match="is not issued"):
        installing.book_installation(job=job_at("permits"), actor=office_person(), on=timezone.localdate())
    job = job_at("installation")
    ahead = timezone.localdate() + timedelta(days=9)
    installing.book_installation(job=job, actor=office_person(), on=ahead)
    installing.book_installation(job=job, actor=office_person(), on=ahead + timedelta(days=1))
    assert job.install_on == ahead + timedelta(days=1)
    started = job_at("inspection")
    with pytest.raises(Problems, match="started already"):
        installing.book_installation(job=started, actor=office_person(), on=ahead)
