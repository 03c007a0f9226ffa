"""What a tablet kept and sends, perhaps twice: recorded once, refused with its reasons, or asked to sign in."""

from __future__ import annotations

import re

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from projects.actions import device_entries, installing, marks
from projects.models import DeviceEntry, Evidence, Job, JobMark, JournalEntry, RoofPlane
from tests.factories import crew_person, job_at, office_person, photo
from tests.signing_in import signed_in

pytestmark = pytest.mark.django_db
KEY = "5f0c" * 8


def being_installed() -> Job:
    job, today = job_at("installation", "hybrid"), timezone.localdate()
    for key in ("equipment_ordered", "equipment_received"):
        marks.record_mark(job=job, key=key, on=today, actor=office_person())
    installing.book_installation(job=job, actor=office_person(), on=today)
    return job


def send(client: Client, view: str, job: Job, sent_as: str = KEY, typed_by: str = "", **typed):
    return client.post(
        reverse(view, args=[job.number]),
        typed,
        headers={"X-Entry-Key": sent_as, "X-Entry-Person": typed_by or client.session.get("_auth_user_id", "")},
    )


def start(client: Client, job: Job, sent_as: str = KEY, **typed):
    return send(client, "crew-mark", job, sent_as, **{"key": "install_started", "on": timezone.localdate(), **typed})


def test_sent_twice_is_recorded_once_and_the_words_wait_for_the_next_page():
    crew, job = signed_in(crew_person()), being_installed()
    written = JournalEntry.objects.count()
    assert [start(crew, job).status_code for _ in range(3)] == [204, 204, 204]
    assert JobMark.objects.filter(job=job, key="install_started").count() == 1
    assert JournalEntry.objects.count() == written + 1
    page = crew.get(reverse("crew-job", args=[job.number])).content.decode()
    assert page.count("Recorded: ") == 1


def test_a_page_fetched_only_to_be_kept_leaves_the_words_to_the_next_one():
    job, client = being_installed(), signed_in(crew_person())
    assert start(client, job).status_code == 204
    page = reverse("crew-job", args=[job.number])
    assert b"Recorded: " not in client.get(page, headers={"X-Page-Unseen": "1"}).content
    assert b"Recorded: " in client.get(page).content
    assert b"Recorded: " not in client.get(page).content


def test_a_refusal_says_why_and_leaves_the_key_free():
    crew, job = signed_in(crew_person()), being_installed()
    ahead = timezone.localdate() + timezone.timedelta(days=3)
    answer = start(crew, job, on=ahead)
    assert answer.status_code == 422
    assert "This day has not come yet." in answer.content.decode()
    assert not DeviceEntry.objects.exists()
    assert start(crew, job).status_code == 204
    assert JobMark.objects.filter(job=job, key="install_started").exists()


def test_a_key_belongs_to_its_sender():
    job = being_installed()
    assert start(signed_in(crew_person()), job).status_code == 204
    # Somebody else's tablet made up the same key: its entry is looked at, and this one has been done already.
    answer = start(signed_in(office_person()), job)
    assert answer.status_code == 422
    assert DeviceEntry.objects.count() == 1


def test_who_is_not_signed_in_is_sent_to_sign_in_and_nothing_is_taken():
    job = being_installed()
    answer = start(Client(), job)
    assert answer.status_code == 302 and answer.url.startswith(reverse("sign-in"))
    assert not DeviceEntry.objects.exists()


def test_nothing_is_taken_in_the_name_of_somebody_else():
    job = being_installed()
    assert start(signed_in(office_person()), job, typed_by=str(crew_person().pk)).status_code == 409
    assert not DeviceEntry.objects.exists() and not JobMark.objects.filter(job=job, key="install_started").exists()


def test_without_a_key_the_form_works_as_ever():
    crew, job = signed_in(crew_person()), being_installed()
    answer = crew.post(reverse("crew-mark", args=[job.number]), {"key": "install_started", "on": timezone.localdate()})
    assert answer.status_code == 302
    assert not DeviceEntry.objects.exists()


def test_a_key_that_is_no_key_is_refused():
    assert start(signed_in(crew_person()), being_installed(), sent_as="k" * 65).status_code == 400


def test_a_photograph_and_a_roof_plane_are_taken_in_once_too():
    crew, job = signed_in(crew_person()), job_at("site_assessment")
    planes = RoofPlane.objects.filter(site=job.site).count()
    plane = {
        "name": "Barn",
        "covering": "shingle",
        "azimuth_deg": "180",
        "tilt_deg": "30",
        "width_m": "30",
        "slope_length_m": "15",
        "eave_height_m": "10",
        "rafter_spacing_m": "16 in",
        "age_years": "5",
    }
    for _ in range(2):
        taken = send(crew, "crew-photo", job, kind="roof", photo=photo())
        assert taken.status_code == 204
        answer = send(crew, "job-plane-new", job, "another" * 4, **plane)
        assert answer.status_code == 204, answer.content.decode()[-2000:]
    assert Evidence.objects.filter(job=job, kind="roof", note="").count() == 1
    assert RoofPlane.objects.filter(site=job.site).count() == planes + 1


def test_what_fails_on_the_way_takes_its_key_back():
    actor = crew_person()
    with pytest.raises(RuntimeError), device_entries.once(actor=actor, key=KEY, address="/crew/1/mark/") as fresh:
        assert fresh
        raise RuntimeError
    assert not DeviceEntry.objects.exists()


def test_the_worker_comes_from_the_top_of_the_site_and_is_asked_for_anew():
    answer = Client().get("/worker.js")
    assert answer.headers["content-type"].startswith("text/javascript")
    assert "no-store" in answer.headers["cache-control"]
    assert b"networkFirst" in answer.content


def test_every_form_of_the_crews_page_leads_to_the_page_itself_once_it_is_taken():
    """A refused entry is answered at an address that only takes entries: nobody may be sent there to look."""
    crew, job = signed_in(crew_person()), being_installed()
    home = reverse("crew-job", args=[job.number])
    refused = start(crew, job, on=timezone.localdate() + timezone.timedelta(days=3)).content.decode()
    for page in (crew.get(home).content.decode(), refused):
        forms = re.findall(r"<form[^>]*data-kept[^>]*>", page)
        assert len(forms) >= 2
        assert all(f'data-then="{home}"' in form for form in forms)


def test_nothing_is_built_from_a_sketch():
    crew, job = signed_in(crew_person()), being_installed()
    home = reverse("crew-job", args=[job.number])
    assert "<h3>Circuits</h3>" in crew.get(home).content.decode()
    job.designs.update(preliminary=True)
    page = crew.get(home).content.decode()
    assert "<h3>Circuits</h3>" not in page and "Only a sketch" in page and "Sketch only: " in page
    assert reverse("paper-preview", args=[job.number, "crew_sheet"]) not in page
