"""The crew records the house: service, roof, what stands in the sun's way, photos."""

from __future__ import annotations

import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from projects.models import Evidence
from tests import factories

SERVICE = {"rating_a": "200", "main_breaker_a": "200", "busbar_a": "200", "free_spaces": "3", "panel_note": ""}
PLANE = {
    "name": "South main",
    "covering": "shingle",
    "azimuth_deg": "192",
    "tilt_deg": "6:12",
    "width_m": "40'",
    "slope_length_m": "17' 6\"",
    "eave_height_m": "9.5",
    "rafter_spacing_m": "24",
    "age_years": "9",
}
TREE = {
    "kind": "tree",
    "bearing_deg": "SW",
    "distance_m": "50",
    "height_m": "45 ft",
    "width_m": "9 m",
    "crown_base_m": "10",
    "evergreen": "on",
}


def at(name: str, job, *more) -> str:
    return reverse(name, args=[job.number, *more])


def test_the_crew_records_the_service(crew, job) -> None:
    assert crew.post(at("job-site-service", job), SERVICE).status_code == 302
    job.site.refresh_from_db()
    assert (job.site.service_rating_a, job.site.free_breaker_spaces) == (200, 3)


def test_a_main_breaker_larger_than_its_busbar_is_a_slip(crew, job) -> None:
    answer = crew.post(at("job-site-service", job), SERVICE | {"busbar_a": "100"})
    assert answer.status_code == 422
    assert "look again" in answer.content.decode() and 'value="100"' in answer.content.decode()


def test_a_roof_plane_typed_in_feet_is_kept_in_metres(crew, job) -> None:
    assert crew.post(at("job-plane-new", job), PLANE).status_code == 302
    plane = job.site.roof_planes.get()
    assert plane.width_m == pytest.approx(12.192)
    assert plane.slope_length_m == pytest.approx(5.334)
    assert plane.rafter_spacing_m == pytest.approx(0.6096)
    assert plane.tilt_deg == pytest.approx(26.565, abs=1e-3)
    assert (plane.azimuth_deg, plane.age_years) == (192, 9)
    # Its ridge runs over the middle of the house: half of 5.334 m x cos 26.565° = 2.385 m to the south-southwest.
    assert plane.x_m == pytest.approx(-0.50, abs=0.01) and plane.y_m == pytest.approx(-2.33, abs=0.01)


def test_who_thinks_in_metres_types_metres(crew, job) -> None:
    crew.post(at("job-site-units", job), {"unit": "m"})
    crew.post(at("job-plane-new", job), PLANE | {"width_m": "12.2", "eave_height_m": "3", "rafter_spacing_m": "0.6"})
    plane = job.site.roof_planes.get()
    assert (plane.width_m, plane.eave_height_m) == (12.2, 3.0)
    assert "12.2 m" in crew.get(at("job-site", job)).content.decode()


def test_opening_and_saving_a_plane_unchanged_changes_nothing(crew, job) -> None:
    crew.post(at("job-plane-new", job), PLANE)
    plane = job.site.roof_planes.get()
    address = at("job-plane", job, plane.pk)
    form = crew.get(address).context["form"]
    before = job.journal.count()
    assert crew.post(address, {name: form[name].value() or "" for name in form.fields}).status_code == 302
    assert job.journal.count() == before


def test_the_drawing_follows_while_a_plane_is_typed_and_nothing_is_saved(crew, job) -> None:
    drawn = crew.post(at("job-plane-new", job), PLANE | {"preview": "1"}).content.decode()
    assert "pl-live" in drawn and "192° SSW" in drawn
    half = crew.post(at("job-plane-new", job), {"name": "Half", "preview": "1"})
    assert half.status_code == 200 and "once the numbers can be read" in half.content.decode()
    assert not job.site.roof_planes.exists()


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("azimuth_deg", "540"),
        ("tilt_deg", "6"),
        ("tilt_deg", "80°"),
        ("width_m", "forty"),
        ("width_m", "5000 ft"),
        ("slope_length_m", ""),
        ("name", ""),
        ("age_years", "500"),
        ("covering", "thatch"),
        ("rafter_spacing_m", "24 ft"),
    ],
)
def test_a_plane_that_cannot_be_is_said_at_its_field(crew, job, field: str, typed: str) -> None:
    answer = crew.post(at("job-plane-new", job), PLANE | {field: typed})
    assert answer.status_code == 422 and field in answer.context["form"].errors
    assert not job.site.roof_planes.exists()


def test_two_planes_of_one_name_are_refused_at_the_name(crew, job) -> None:
    crew.post(at("job-plane-new", job), PLANE)
    assert "name" in crew.post(at("job-plane-new", job), PLANE).context["form"].errors


def test_what_is_typed_for_a_name_is_never_run(crew, job) -> None:
    crew.post(at("job-plane-new", job), PLANE | {"name": "<script>x</script>"})
    page = crew.get(at("job-site", job)).content.decode()
    assert "<script>x" not in page and "&lt;script&gt;x" in page


def test_a_plane_of_another_house_is_not_found(crew, job) -> None:
    crew.post(at("job-plane-new", job), PLANE)
    other = factories.lead("hybrid", days_ago=5)
    plane = job.site.roof_planes.get()
    assert crew.get(at("job-plane", other, plane.pk)).status_code == 404
    crew.post(at("job-plane-remove", other, plane.pk))
    assert job.site.roof_planes.exists()


def test_planes_and_obstructions_are_taken_out_again(crew, job) -> None:
    crew.post(at("job-plane-new", job), PLANE)
    crew.post(at("job-obstruction-new", job), TREE)
    crew.post(at("job-plane-remove", job, job.site.roof_planes.get().pk))
    crew.post(at("job-obstruction-remove", job, job.site.obstructions.get().pk))
    assert not job.site.roof_planes.exists() and not job.site.obstructions.exists()


def test_a_tree_is_recorded_by_bearing_distance_and_size(crew, job) -> None:
    assert crew.post(at("job-obstruction-new", job), TREE).status_code == 302
    tree = job.site.obstructions.get()
    assert (tree.bearing_deg, tree.evergreen, tree.width_m) == (225, True, 9)
    assert tree.distance_m == pytest.approx(15.24) and tree.height_m == pytest.approx(13.716)


def test_a_crown_does_not_begin_above_the_top(crew, job) -> None:
    answer = crew.post(at("job-obstruction-new", job), TREE | {"crown_base_m": "60"})
    assert "crown_base_m" in answer.context["form"].errors


def test_that_nothing_is_in_the_way_is_said_and_not_assumed(crew, job) -> None:
    assert "Nothing recorded yet" in crew.get(at("job-site", job)).content.decode()
    crew.post(at("job-obstructions-none", job))
    assert "nothing stands in the sun’s way" in crew.get(at("job-site", job)).content.decode()
    crew.post(at("job-obstruction-new", job), TREE)
    job.site.refresh_from_db()
    assert job.site.obstructions_none_on is None


def test_a_photo_is_kept_once_and_shown_to_people_who_work_here_alone(crew, office, stranger, job) -> None:
    sent = {"kind": "panel", "note": "cover on", "key": "k" * 32}
    for _ in range(2):
        assert crew.post(at("job-photos", job), sent | {"upload": factories.photo()}).status_code == 302
    photo = Evidence.objects.get()
    shown = office.get(reverse("photo", args=[photo.pk]))
    assert shown["Content-Type"] == "image/jpeg" and b"".join(shown.streaming_content)[:2] == b"\xff\xd8"
    assert "sandbox" in shown["Content-Security-Policy"]
    assert stranger.get(reverse("photo", args=[photo.pk])).status_code == 302
    holder = factories.PersonFactory(role="licence_holder")
    stranger.force_login(holder)
    assert stranger.get(reverse("photo", args=[photo.pk])).status_code == 403


@pytest.mark.parametrize(
    ("name", "content"),
    [("roof.jpg", b"<script>alert(1)</script>"), ("roof.svg", b"<svg onload='x'/>"), ("empty.png", b"")],
)
def test_what_is_no_picture_is_refused(crew, job, name: str, content: bytes) -> None:
    upload = SimpleUploadedFile(name, content, "image/jpeg")
    answer = crew.post(at("job-photos", job), {"kind": "roof", "upload": upload, "key": "k" * 32})
    assert answer.status_code == 422 and "upload" in answer.context["photo_form"].errors
    assert not Evidence.objects.exists()


def test_a_photo_is_taken_out_with_a_reason(crew, job) -> None:
    crew.post(at("job-photos", job), {"kind": "roof", "upload": factories.photo(), "key": "k" * 32})
    photo = Evidence.objects.get()
    crew.post(reverse("photo-remove", args=[photo.pk]), {"reason": " "})
    photo.refresh_from_db()
    assert photo.removed_at is None
    crew.post(reverse("photo-remove", args=[photo.pk]), {"reason": "Another house"})
    assert crew.get(reverse("photo", args=[photo.pk])).status_code == 404


def test_the_page_cautions_and_says_what_is_still_open(crew, job) -> None:
    page = crew.get(at("job-site", job)).content.decode()
    assert "Off the roof beats on the roof" in page and "Photos: main service panel, meter, roof" in page


def test_changing_things_by_following_a_link_is_refused(crew, job) -> None:
    for name in ("job-site-service", "job-horizon", "job-fire-access", "job-obstructions-none", "job-site-units"):
        assert crew.get(at(name, job)).status_code == 405


def test_every_form_that_a_tablet_keeps_leads_to_the_page_once_it_is_taken(crew, job) -> None:
    """After a refusal the page stands at an address that only takes entries: nobody may be sent there to look."""
    home = at("job-site", job)
    refused = crew.post(at("job-site-service", job), {"rating_a": "many"})
    assert refused.status_code == 422
    for page in (crew.get(home).content.decode(), refused.content.decode()):
        forms = re.findall(r"<form[^>]*data-kept[^>]*>", page)
        assert len(forms) >= 5
        assert all(f'data-then="{home}"' in form for form in forms)
