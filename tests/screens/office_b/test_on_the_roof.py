"""What stands on a roof plane, where its pathway is, and how deep a wall is: typed, kept, and asked of the study."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.models import Obstruction, RoofPlane
from projects.screens.house_from_above import box_of
from projects.studies.request import house_of
from projects.studies.roof import planes_as_recorded
from sizing.roof.study import study_roof
from tests.screens.office_b.test_site_assessment import PLANE, TREE
from tests.sizing.study_builders import plain_request


def at(name: str, job, *more) -> str:
    return reverse(name, args=[job.number, *more])


def test_vents_and_skylights_are_typed_in_feet_and_reach_the_layout(crew, job) -> None:
    typed = "Skylight: 8, 4, 2, 4\nvent: 20', 10' 6\", 1, 1"
    answer = crew.post(at("job-plane-new", job), PLANE | {"obstacles": typed, "pathway": "left"})
    assert answer.status_code == 302
    plane = job.site.roof_planes.get()
    assert [row["kind"] for row in plane.obstacles] == ["skylight", "vent"]
    assert plane.obstacles[0]["u_m"] == pytest.approx(8 * 0.3048)
    assert plane.obstacles[1]["v_m"] == pytest.approx(10.5 * 0.3048)
    [asked] = planes_as_recorded([plane])
    assert asked.pathway == "left"
    assert asked.obstacles[0].kind == "skylight"

    def room(**changes) -> int:
        from dataclasses import replace

        request = plain_request(planes=(replace(asked, modules=1, **changes),))
        return study_roof(request)[0].planes[0].room_for

    assert room() < room(obstacles=())


def test_a_plane_under_a_wall_has_no_ridge_and_one_posted_by_an_older_page_has(crew, job) -> None:
    crew.post(at("job-plane-new", job), PLANE)
    assert job.site.roof_planes.get().ridge_at_top is True
    crew.post(at("job-plane-new", job), PLANE | {"name": "Porch", "ends_at_wall": "on"})
    assert job.site.roof_planes.get(name="Porch").ridge_at_top is False
    assert planes_as_recorded([job.site.roof_planes.get(name="Porch")])[0].ridge_at_top is False


def test_opening_and_saving_it_unchanged_changes_nothing(crew, job) -> None:
    crew.post(at("job-plane-new", job), PLANE | {"obstacles": "vent: 5.13, 3, 1, 1", "name": "Other"})
    plane = job.site.roof_planes.get(name="Other")
    page = crew.get(at("job-plane", job, plane.pk))
    form = page.context["form"]
    posted = {name: form[name].value() for name in form.fields if name != "ends_at_wall"}
    shown = {name: form.fields[name].prepare_value(value) for name, value in posted.items()}
    crew.post(at("job-plane", job, plane.pk), {name: value for name, value in shown.items() if value is not None})
    assert RoofPlane.objects.get(pk=plane.pk).obstacles == plane.obstacles


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("gnome: 1, 1, 1, 1", "begin with what it is"),
        ("vent 1, 1, 1, 1", "begin with what it is"),
        ("vent: 1, 1, 1", "four lengths"),
        ("vent: 1, 1, 1, wide", "Line 1"),
        ("vent: 39, 1, 3, 1", "over the edge"),
        ("vent: 1, 1, 0, 1", "neither wide nor high"),
        ("vent: -1, 1, 1, 1", "Line 1"),
        ("<script>alert(1)</script>: 1, 1, 1, 1", "Line 1"),
        ("\n".join(["vent: 1, 1, 1, 1"] * 31), "At most 30"),
    ],
)
def test_a_slip_is_said_by_its_line_and_nothing_typed_is_lost(crew, job, typed: str, words: str) -> None:
    answer = crew.post(at("job-plane-new", job), PLANE | {"obstacles": typed})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert words in page and "<script>alert" not in page
    assert answer.context["form"]["obstacles"].value() == typed
    assert not job.site.roof_planes.exists()


def test_a_wall_is_as_deep_as_it_is_typed_and_a_tree_as_deep_as_wide(crew, job) -> None:
    wall = {
        "kind": "building",
        "bearing_deg": "S",
        "distance_m": "40",
        "height_m": "8",
        "width_m": "60",
        "depth_m": "1",
    }
    assert crew.post(at("job-obstruction-new", job), wall).status_code == 302
    assert crew.post(at("job-obstruction-new", job), TREE).status_code == 302
    asked = house_of(job)["obstructions"]
    assert asked[0].depth_m == pytest.approx(0.3048)
    assert asked[1].depth_m is None
    bad = crew.post(at("job-obstruction-new", job), wall | {"depth_m": "-3"})
    assert bad.status_code == 422 and "depth_m" in bad.context["form"].errors


def test_a_wall_is_drawn_across_the_line_of_sight(crew, job) -> None:
    wall = Obstruction(kind="building", bearing_deg=180, distance_m=10, height_m=3, width_m=20, depth_m=0.5)
    corners = box_of(wall)
    assert {round(x, 6) for x, _ in corners} == {-10.0, 10.0}
    assert {round(y, 6) for _, y in corners} == {-10.25, -9.75}
    wall.bearing_deg, wall.depth_m = 90, None
    assert {round(x, 6) for x, _ in box_of(wall)} == {0.0, 20.0}
