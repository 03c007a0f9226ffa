"""What the fire code asks of the house: recorded once, asked by the study, and its sum by hand."""

from __future__ import annotations

import pytest

from projects import studies
from projects.actions import fire_access, site
from projects.actions.problems import NotAllowed, Problems
from projects.actions.study import run_study
from projects.models import Job, Jurisdiction
from sizing.roof.clear import keep_clear
from tests.factories import PersonFactory, crew_person, job_at, office_person

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return job_at("permits")


def record(job: Job, **said) -> Job:
    return fire_access.record_fire_access(job=job, actor=crew_person(), **{"sprinklered": False, **said})


def test_it_is_in_the_journal_in_the_studys_request_and_told_once(job: Job) -> None:
    design = job.designs.latest("revision")
    before = studies.study_request_of(job, design).access
    assert not before.sprinklered and before.roof_plan_area_m2 is None
    record(job, sprinklered=True, roof_plan_area_m2=180.0, detached_nonhabitable=True)
    entry = job.journal.last()
    assert entry.data["house"] == (
        "sprinklers throughout, detached and not lived in, whole roof 180 m² seen from above"
    )
    after = studies.study_request_of(job, design).access
    assert (after.sprinklered, after.detached_nonhabitable, after.roof_plan_area_m2) == (True, True, 180.0)
    rows = job.journal.count()
    record(job, sprinklered=True, roof_plan_area_m2=180.0, detached_nonhabitable=True)
    assert job.journal.count() == rows
    assert job.designs.count() == 1, "what is drawn stays as it is; the study says what it means"


@pytest.mark.parametrize("area_m2", [0.0, -5.0, 20_000.0])
def test_a_roof_that_cannot_be_is_refused(job: Job, area_m2: float) -> None:
    with pytest.raises(Problems) as problems:
        record(job, roof_plan_area_m2=area_m2)
    assert [p.field for p in problems.value] == ["roof_plan_area_m2"]
    with pytest.raises(NotAllowed):
        fire_access.record_fire_access(job=job, actor=PersonFactory(role="licence_holder"), sprinklered=True)


def test_sprinklers_and_the_whole_roof_lessen_what_stays_free_below_the_ridge(job: Job) -> None:
    """IRC R324.6.2 (2018 on): above a third of the roof 36 in, with sprinklers only above two thirds. The 16 modules of
    this job cover more than a third and less than two thirds of its one plane."""

    def setback_in() -> tuple[float, float]:
        run = run_study(job=job, actor=office_person())
        share = next(line for line in run.result["working"] if line["key"] == "roof.array_share")
        assert share["limit"] == (66.0 if job.site.sprinklered else 33.0)
        return round(run.result["roof"]["ridge_setback_m"] / 0.0254), share["result"]

    setback, share = setback_in()
    assert 33 < share < 66 and setback == 36
    record(job, sprinklered=True)
    assert setback_in()[0] == 18
    record(job, sprinklered=False, roof_plan_area_m2=400.0)
    setback, share = setback_in()
    assert share < 33 and setback == 18


def test_a_jurisdictions_own_room_beside_hips_is_kept_free(job: Job) -> None:
    """18 in of its own under the 2021 code, which asks for none: by hand, the strip beside each hip of the plane."""
    plane = job.site.roof_planes.get()
    site.save_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk, shape="hip", narrow_m=plane.width_m - 4)

    def labels() -> set[str]:
        request = studies.study_request_of(job, job.designs.latest("revision"))
        [plane] = request.planes
        return {zone.label for zone in keep_clear(plane, request.access, 0.2)}

    assert not any("hip" in label for label in labels())
    Jurisdiction.objects.filter(pk=job.jurisdiction_id).update(hip_valley_setback_in=18)
    job.refresh_from_db()
    assert "18 in beside the hip" in labels()
