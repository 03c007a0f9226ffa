"""The horizon is typed a line a direction, kept, drawn on by the study, and a slip is said by its line."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.actions import horizon
from projects.actions.problems import NotAllowed
from projects.models import Person, Role
from projects.studies.request import house_of


def at(name: str, job) -> str:
    return reverse(name, args=[job.number])


def test_the_crew_types_what_compass_and_clinometer_say(crew, job) -> None:
    typed = "SE 11\n192 SSW 7.5\n\n90, 4°\n"
    assert crew.post(at("job-horizon", job), {"points": typed}).status_code == 302
    job.site.refresh_from_db()
    assert job.site.horizon == [
        {"bearing_deg": 90.0, "elevation_deg": 4.0},
        {"bearing_deg": 135.0, "elevation_deg": 11.0},
        {"bearing_deg": 192.0, "elevation_deg": 7.5},
    ]
    page = crew.get(at("job-site", job)).content.decode()
    assert "3 directions measured" in page and "135 11" in page
    assert job.journal.filter(kind="horizon_recorded").count() == 1
    crew.post(at("job-horizon", job), {"points": "90 4\n135 11\n192 7.5"})
    assert job.journal.filter(kind="horizon_recorded").count() == 1


def test_the_study_asks_with_it(office, job) -> None:
    assert house_of(job)["horizon"] == ()
    office.post(at("job-horizon", job), {"points": "S 12"})
    job.refresh_from_db()
    [point] = house_of(job)["horizon"]
    assert (point.bearing_deg, point.elevation_deg) == (180.0, 12.0)
    office.post(at("job-horizon", job), {"points": ""})
    job.site.refresh_from_db()
    assert job.site.horizon == []


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("90", "Line 1"),
        ("90 4\nnowhere 5", "Line 2"),
        ("400 5", "between 0° and 360°"),
        ("90 85", "between 0° and 80°"),
        ("192 N 5", "which one is it"),
        ("0 4\n360 5", "twice"),
        ("90 4.4.4", "no height"),
        ("90 -4", "Line 1"),
        ("90 nan", "Line 1"),
        ("<script>alert(1)</script>", "Line 1"),
        ("\n".join(f"{n * 4} 5" for n in range(80)), "At most 72"),
    ],
)
def test_a_slip_is_said_by_its_line_and_nothing_typed_is_lost(crew, job, typed: str, words: str) -> None:
    answer = crew.post(at("job-horizon", job), {"points": typed})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert "<script>alert" not in page
    assert answer.context["horizon_form"]["points"].value() == typed
    job.site.refresh_from_db()
    assert job.site.horizon == []


def test_a_bearing_without_its_sign_and_with_its_letters_is_understood_everywhere(crew, job) -> None:
    plane = {
        "name": "Barn", "covering": "shingle", "azimuth_deg": "192 SSW", "tilt_deg": "6:12", "width_m": "30",
        "slope_length_m": "15", "eave_height_m": "10",
    }  # fmt: skip
    assert crew.post(reverse("job-plane-new", args=[job.number]), plane).status_code == 302
    assert job.site.roof_planes.get(name="Barn").azimuth_deg == 192.0
    slip = crew.post(reverse("job-plane-new", args=[job.number]), {**plane, "name": "Shed", "azimuth_deg": "192 N"})
    assert slip.status_code == 422
    assert "192° is SSW, not N: which one is it?" in slip.content.decode()


def test_who_is_not_signed_in_and_who_only_holds_a_licence_record_nothing(stranger, job) -> None:
    assert stranger.post(at("job-horizon", job), {"points": "90 5"}).status_code in (302, 403, 404)
    engineer = Person.objects.create(username="engineer", role=Role.LICENCE_HOLDER)
    with pytest.raises(NotAllowed):
        horizon.record_horizon(job=job, actor=engineer, points=[(90.0, 5.0)])
    job.site.refresh_from_db()
    assert job.site.horizon == []
