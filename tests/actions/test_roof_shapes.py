"""Planes that are no rectangle: what can't be is refused at its field, and a design follows the outline."""

from __future__ import annotations

import pytest

from projects import studies
from projects.actions import design, site
from projects.actions.design_checks import most_modules
from projects.actions.problems import Problems
from projects.models import Job, RoofPlane
from tests.factories import crew_person, job_at, office_person

pytestmark = pytest.mark.django_db
PLANE = {"name": "Front", "tilt_deg": 30.0, "azimuth_deg": 180.0, "width_m": 12.0, "slope_length_m": 5.0}


def corners(*ring: tuple[float, float]) -> list[dict]:
    return [{"u_m": u, "v_m": v, "kind": ""} for u, v in ring]


@pytest.fixture
def job() -> Job:
    return job_at("site_assessment")


def save(job: Job, **changes) -> RoofPlane:
    return site.save_roof_plane(job=job, actor=crew_person(), **{**PLANE, **changes})


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"shape": "hip"}, "narrow_m", "How long is the ridge"),
        ({"shape": "valley_left"}, "narrow_m", "How long is the eave"),
        ({"shape": "hip", "narrow_m": 12.0}, "narrow_m", "shorter"),
        ({"shape": "hip", "narrow_m": 5.0, "narrow_from_left_m": 8.0}, "narrow_from_left_m", "past the right end"),
        ({"shape": "triangle", "narrow_from_left_m": 13.0}, "narrow_from_left_m", "past the right end"),
        ({"shape": "corners", "corners": []}, "corners", "at least 3"),
        ({"shape": "corners", "corners": corners((0, 0), (5, 0))}, "corners", "at least 3"),
        ({"shape": "corners", "corners": corners((0, 0), (5, 5), (5, 0), (0, 5))}, "corners", "crosses itself"),
        ({"shape": "corners", "corners": corners((0, 0), (101, 0), (5, 5))}, "corners", "Corner 2: within 100 m"),
        ({"shape": "corners", "corners": corners((0, 0), (9, 0), (9, 0), (5, 5))}, "corners", "stands on the one"),
        ({"shape": "corners", "corners": corners((0, 0), (5, 0), (9, 0))}, "corners", "no area"),
        ({"shape": "corners", "corners": [{"u_m": "x", "v_m": 1}] * 3}, "corners", "two lengths"),
        ({"shape": "corners", "corners": [{"u_m": 0, "v_m": 0, "kind": "moat"}] * 3}, "corners", "one of eave"),
        ({"shape": "corners", "corners": corners(*((i, i * i) for i in range(21)))}, "corners", "At most 20"),
        ({"shape": "blob"}, "shape", ""),
    ],
)
def test_a_shape_that_cannot_be_is_refused_at_its_field(job: Job, changes: dict, field: str, words: str) -> None:
    with pytest.raises(Problems) as problems:
        save(job, **changes)
    assert {p.field for p in problems.value} == {field}
    assert words in next(iter(problems.value)).message
    assert not job.site.roof_planes.exists()


def test_the_lengths_follow_from_the_corners(job: Job) -> None:
    plane = save(job, shape="corners", corners=corners((0, 0), (9, 0), (6, 4.5), (1, 4.5)), width_m=1.0)
    assert (plane.width_m, plane.slope_length_m) == (9, 4.5)


def test_what_another_shape_asked_for_is_emptied(job: Job) -> None:
    plane = save(job, shape="hip", narrow_m=4.0, narrow_from_left_m=1.0)
    before = job.journal.count()
    site.save_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk, shape="hip", narrow_m=4.0)
    assert job.journal.count() == before
    site.save_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk, shape="triangle")
    plane.refresh_from_db()
    assert (plane.narrow_m, plane.narrow_from_left_m) == (None, 1.0)
    site.save_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk, shape="rectangle")
    plane.refresh_from_db()
    assert plane.outline == [] and plane.narrow_from_left_m is None


def test_a_design_over_rectangles_says_nothing_of_outlines() -> None:
    """Else every design drawn before there were outlines would have another fingerprint."""
    frozen = job_at("permits").designs.get().frozen
    assert all("outline" not in plane for plane in frozen["planes"])


def test_another_outline_is_another_design_and_the_study_is_asked_with_it() -> None:
    job = job_at("permits")
    plane = job.site.roof_planes.get()
    site.save_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk, shape="hip", narrow_m=plane.width_m - 4)
    current = job.designs.latest("revision")
    assert job.journal.last().data["new_revision"] == current.revision_letter == "B"
    assert [edge["kind"] for edge in current.frozen["planes"][0]["outline"]] == ["eave", "hip", "ridge", "hip"]
    from projects.actions.differences import differences

    first = job.designs.earliest("revision")
    assert differences(first.frozen, current.frozen) == ("South roof, outline: rectangle → 4 corners, with hip",)
    asked = studies.study_request_of(job, current).planes[0]
    assert [(edge.u_m, edge.v_m) for edge in asked.outline][2:] == [
        (plane.width_m - 2, plane.slope_length_m),
        (2.0, plane.slope_length_m),
    ]


def test_room_on_a_triangle_by_hand() -> None:
    """12 m x 5 m triangle, modules 1.7 x 1.1 m: lying rows end at 1.1, 2.2, 3.3, 4.4 m where it is 9.36, 6.72, 4.08 and
    1.44 m wide: 5 + 3 + 2 + 0; upright at 1.7 and 3.4 m, 7.92 and 3.84 m wide: 7 + 3. Its rectangle would hold 28."""
    triangle = RoofPlane(**PLANE, shape="triangle")
    assert most_modules(triangle, 1.7, 1.1) == 10
    assert most_modules(RoofPlane(**PLANE), 1.7, 1.1) == 28


def test_no_more_modules_than_an_outline_holds() -> None:
    job = job_at("permits")
    plane = job.site.roof_planes.get()
    site.save_roof_plane(job=job, actor=crew_person(), plane_id=plane.pk, shape="triangle")
    with pytest.raises(Problems, match="has room for"):
        design.save_design(
            job=job, actor=office_person(), plane_modules=[{"plane": plane.name, "modules": 25}], strings=[]
        )
