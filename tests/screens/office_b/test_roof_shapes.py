"""A plane that is no rectangle, typed on a tablet: a choice of shape, a second length, or corners one by one."""

from __future__ import annotations

import re

import pytest

from projects.models import RoofPlane
from projects.studies.roof import planes_as_recorded
from tests.screens.office_b.test_site_assessment import PLANE, at

HIP = PLANE | {"shape": "hip", "narrow_m": "20'", "modules_beyond": "on"}
CORNERS = PLANE | {"shape": "corners", "width_m": "", "slope_length_m": "", "corners": "0,0; 40,0 hip; 28,17; 12,17"}


def recorded(job) -> RoofPlane:
    return job.site.roof_planes.get()


def test_hips_are_typed_as_eave_ridge_and_slope(crew, job) -> None:
    assert crew.post(at("job-plane-new", job), HIP).status_code == 302
    asked = planes_as_recorded([recorded(job)])[0]
    foot = 0.3048
    assert [round(edge.u_m / foot, 6) for edge in asked.outline] == [0, 40, 30, 10]
    assert [edge.kind for edge in asked.outline] == ["eave", "hip", "ridge", "hip"]
    assert all(edge.modules_beyond for edge in asked.outline if edge.kind == "hip")
    crew.post(at("job-plane", job, recorded(job).pk), HIP | {"narrow_from_left_m": "5"})
    assert [round(edge["u_m"] / foot, 6) for edge in recorded(job).outline] == [0, 40, 25, 5]


def test_corners_are_typed_as_pairs_in_the_unit_of_the_page(crew, job) -> None:
    assert crew.post(at("job-plane-new", job), CORNERS).status_code == 302
    plane = recorded(job)
    assert plane.width_m == pytest.approx(40 * 0.3048) and plane.slope_length_m == pytest.approx(17 * 0.3048)
    assert [edge["kind"] for edge in plane.outline] == ["eave", "hip", "ridge", "hip"]
    crew.post(at("job-site-units", job), {"unit": "m"})
    metres = CORNERS | {"eave_height_m": "3", "rafter_spacing_m": "0.6", "corners": "0,0\n12,0\n6,5.5"}
    assert crew.post(at("job-plane", job, plane.pk), metres).status_code == 302
    plane = recorded(job)
    assert (plane.width_m, plane.slope_length_m) == (12, 5.5)


@pytest.mark.parametrize("typed", [HIP, CORNERS, PLANE | {"shape": "triangle", "narrow_from_left_m": "12' 3 1/4\""}])
def test_opening_and_saving_changes_nothing(crew, job, typed) -> None:
    crew.post(at("job-plane-new", job), typed)
    plane, before = recorded(job), job.journal.count()
    form = crew.get(at("job-plane", job, plane.pk)).context["form"]
    again = {name: form[name].value() for name in form.fields}
    again = {name: value for name, value in again.items() if value not in (None, False)}
    assert crew.post(at("job-plane", job, plane.pk), again).status_code == 302
    assert job.journal.count() == before


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        (HIP | {"narrow_m": ""}, "narrow_m", "How long is the ridge"),
        (HIP | {"narrow_m": "41"}, "narrow_m", "shorter"),
        (HIP | {"narrow_m": "wide"}, "narrow_m", "Write a length"),
        (HIP | {"narrow_from_left_m": "30"}, "narrow_from_left_m", "past the right end"),
        (HIP | {"width_m": ""}, "width_m", "required"),
        (CORNERS | {"corners": ""}, "corners", "at least 3 corners"),
        (CORNERS | {"corners": "0,0; 40,0"}, "corners", "at least 3 corners"),
        (CORNERS | {"corners": "0,0; 40,17; 40,0; 0,17"}, "corners", "crosses itself"),
        (CORNERS | {"corners": "0,0; 400,0; 28,17"}, "corners", "Corner 2: within 100 m"),
        (CORNERS | {"corners": "0,0; 40; 28,17"}, "corners", "Corner 2, “40”: two lengths"),
        (CORNERS | {"corners": "0,0; 40,-1; 28,17"}, "corners", "Corner 2"),
        (CORNERS | {"corners": "0,0; 40,0 moat; 28,17"}, "corners", "Corner 2"),
        (CORNERS | {"corners": "<script>x</script>"}, "corners", "Corner 1"),
        (PLANE | {"shape": "blob"}, "shape", "valid choice"),
    ],
)
def test_a_slip_is_said_at_its_field_and_nothing_typed_is_lost(crew, job, typed, field, words) -> None:
    answer = crew.post(at("job-plane-new", job), typed)
    form = answer.context["form"]
    assert answer.status_code == 422 and words in " ".join(form.errors[field])
    assert form["corners"].value() == typed.get("corners") and form["narrow_m"].value() == typed.get("narrow_m")
    assert "<script>x" not in answer.content.decode()
    assert not job.site.roof_planes.exists()


def test_what_stands_beside_the_outline_stands_not_on_the_plane(crew, job) -> None:
    typed = PLANE | {"shape": "triangle", "obstacles": "vent: 1, 14, 1, 1"}
    answer = crew.post(at("job-plane-new", job), typed)
    assert "over the edge" in " ".join(answer.context["form"].errors["obstacles"])
    assert crew.post(at("job-plane-new", job), typed | {"obstacles": "vent: 19, 14, 1, 1"}).status_code == 302


def test_the_outline_is_drawn_while_it_is_typed(crew, job) -> None:
    drawn = crew.post(at("job-plane-new", job), PLANE | {"shape": "triangle", "preview": "1"}).content.decode()
    assert len(re.search(r'<polygon class="pl-roof[^"]*" points="([^"]+)"', drawn)[1].split()) == 3
    valley = PLANE | {"shape": "valley_left", "narrow_m": "30", "preview": "1"}
    assert "stroke-dasharray" in crew.post(at("job-plane-new", job), valley).content.decode()
    assert not job.site.roof_planes.exists()


def test_the_list_of_planes_names_the_shape(crew, job) -> None:
    crew.post(at("job-plane-new", job), HIP)
    page = crew.get(at("job-site", job)).content.decode()
    assert "hips, with a ridge" in page
