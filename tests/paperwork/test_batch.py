"""Several papers issued at once: every one on its own, each with what became of it."""

from __future__ import annotations

import re

import pytest
from django.test import Client
from django.urls import reverse

from paperwork.models import IssuedPaper
from projects.models import Job, OfficeProfile, Person
from tests import factories
from tests.paperwork.test_packet import ready_job

pytestmark = pytest.mark.django_db
HTMX = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def desk(client: Client, office: Person, firm: OfficeProfile) -> Client:
    client.force_login(office)
    return client


def test_the_page_lists_what_can_go_out_and_why_the_rest_can_not(desk: Client) -> None:
    job = ready_job()
    page = desk.get(reverse("job-papers", args=[job.number])).content.decode()
    ticked = re.findall(r'name="kind" value="(\w+)" checked', page)
    assert "single_line" in ticked and "building_packet" in ticked and "handover" not in ticked
    assert re.search(r'value="handover"[^>]* disabled', page)
    assert "Not done yet: the system is switched on for good." in page
    assert 'value="permit_packet"' not in page and 'value="invoice"' not in page


def test_without_a_script_the_ticked_papers_are_issued_in_one_go(desk: Client) -> None:
    job = ready_job()
    address = reverse("papers-batch", args=[job.number])
    got = desk.post(address, {"kind": ["checklist", "labels"]}, follow=True)
    assert "2 of 2 papers issued." in got.content.decode()
    assert set(IssuedPaper.objects.values_list("kind", flat=True)) == {"checklist", "labels"}
    again = desk.get(reverse("job-papers", args=[job.number])).content.decode()
    assert "labels" not in re.findall(r'name="kind" value="(\w+)" checked', again)


def test_one_that_is_refused_does_not_hold_back_the_others(desk: Client) -> None:
    job = ready_job(rafters=False)
    got = desk.post(reverse("papers-batch", args=[job.number]), {"kind": ["building_packet", "checklist"]})
    page = got.content.decode()
    assert got.status_code == 422 and "1 of 2 papers issued." in page
    assert "South roof: the rafter spacing is not recorded." in page
    assert IssuedPaper.objects.get().kind == "checklist"


def test_with_a_script_each_line_issues_itself_and_sets_the_next_one_going(desk: Client) -> None:
    job = ready_job(rafters=False)
    begun = desk.post(
        reverse("papers-batch", args=[job.number]), {"kind": ["checklist", "building_packet", "labels"]}, **HTMX
    ).content.decode()
    assert not IssuedPaper.objects.exists() and begun.count("hx-trigger") == 1
    assert '"rest": "building_packet,labels"' in begun and 'max="3"' in begun
    line = reverse("papers-batch-line", args=[job.number])
    said = {"kind": "checklist", "rest": "building_packet,labels", "total": "3", "issued": "0"}
    first = desk.post(line, said, **HTMX).content.decode()
    assert f"{job.label}-CL-1" in first and 'id="batch-building_packet" hx-swap-oob="true"' in first
    assert '"issued": "1"' in first and 'value="1"' in first
    second = desk.post(
        line, {"kind": "building_packet", "rest": "labels", "total": "3", "issued": "1"}, **HTMX
    ).content.decode()
    assert "rafter spacing is not recorded" in second and '"rest": ""' in second and '"issued": "1"' in second
    last = desk.post(line, {"kind": "labels", "rest": "", "total": "3", "issued": "1"}, **HTMX).content.decode()
    assert "2 of 3 papers issued." in last and "hx-trigger" not in last


@pytest.mark.parametrize("kinds", [[], ["poem"], ["invoice"]])
def test_nothing_ticked_and_nonsense_are_said(desk: Client, kinds: list[str]) -> None:
    job = ready_job()
    got = desk.post(reverse("papers-batch", args=[job.number]), {"kind": kinds})
    assert got.status_code == 422 and "No paper is ticked" in got.content.decode()
    assert desk.post(reverse("papers-batch-line", args=[job.number]), {"kind": "poem"}, **HTMX).status_code == 422
    assert not IssuedPaper.objects.exists()


def test_a_closed_job_shows_its_papers_and_issues_none(desk: Client, office: Person) -> None:
    job = ready_job()
    Job.objects.filter(pk=job.pk).update(outcome="lost")
    page = desk.get(reverse("job-papers", args=[job.number])).content.decode()
    assert "nothing more is issued" in page and 'type="checkbox"' not in page


def test_the_crew_has_no_batch(client: Client, firm: OfficeProfile) -> None:
    job = ready_job()
    client.force_login(factories.crew_person())
    assert client.get(reverse("job-papers", args=[job.number])).status_code == 403
    assert client.post(reverse("papers-batch", args=[job.number]), {"kind": ["checklist"]}).status_code == 403
