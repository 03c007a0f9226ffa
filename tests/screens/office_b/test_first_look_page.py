"""The first look on one page: drawn up at a press, read, then issued; what it lacks is said with the way there."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.actions import intake
from projects.models import InverterModel, Job, OfficeProfile, PaperIssue
from projects.screens.office.headline import of_study
from tests import factories
from tests.factories import lead, office_person

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    job = lead("hybrid")
    intake.decide_system_type(job=job, kind="hybrid", actor=office_person(), reason="They asked for it.")
    return job


def address(job: Job) -> str:
    return reverse("job-first-look", args=[job.number])


def test_from_a_decided_lead_to_the_issued_report_in_two_presses(office, job) -> None:
    OfficeProfile.objects.create(pk=1, name="Shoal & Sons", phone="(252) 555-0100")
    factories.catalogue("hybrid")
    assert "Draw it up" in office.get(address(job)).content.decode()
    drawn = office.post(address(job), follow=True)
    page = drawn.content.decode()
    assert drawn.redirect_chain == [(address(job), 302)]
    study = job.studies.get()
    assert job.designs.get().preliminary and study.design_fingerprint == job.designs.get().fingerprint
    made = f"{study.headline['ac_kwh_year']:,.0f} kWh"
    assert made in page and "one plane facing south" in page
    assert office.get(reverse("paper-preview", args=[job.number, "first_look"])).content.startswith(b"%PDF")
    issued = office.post(reverse("issue-paper", args=[job.number]), {"kind": "first_look"}, follow=True)
    assert "is issued" in issued.content.decode()
    page = office.get(address(job)).content.decode()
    assert "went out on" in page and "drawn up anew since" not in page
    InverterModel.objects.update(standby_w=61)
    page = office.post(address(job), follow=True).content.decode()
    assert "drawn up anew since" in page and "Issue it again" in page


def test_pressed_again_it_does_nothing_twice(office, job) -> None:
    factories.catalogue("hybrid")
    office.post(address(job))
    office.post(address(job))
    assert job.designs.count() == job.studies.count() == 1
    InverterModel.objects.update(standby_w=61)
    office.post(address(job))
    assert job.designs.count() == job.studies.count() == 2


def test_an_engineered_design_is_studied_as_it_stands(office) -> None:
    job = factories.job_at("permits")
    before = job.designs.get()
    job.studies.all().delete()
    office.post(address(job))
    assert job.designs.get() == before and not before.preliminary
    assert job.studies.get().design_fingerprint == before.fingerprint


def test_what_is_lacking_is_said_with_the_way_to_it(office, job) -> None:
    answer = office.post(address(job))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "The catalogue has no module." in page and "The catalogue has no battery." in page
    assert f'href="{reverse("office")}#catalogue"' in page
    assert not job.designs.exists()


def test_an_undecided_job_leads_to_the_kind_of_system(office) -> None:
    undecided = lead()
    page = office.post(address(undecided)).content.decode()
    assert "Decide the kind of system first." in page
    assert f'href="{reverse("job-kind", args=[undecided.number])}"' in page


def test_a_refused_paper_leads_to_what_it_lacks(office, job) -> None:
    answer = office.post(reverse("issue-paper", args=[job.number]), {"kind": "first_look"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f'href="{reverse("office-firm")}"' in page and f'href="{reverse("job-design", args=[job.number])}"' in page
    assert not PaperIssue.objects.exists()


def test_crew_draws_none_up(crew, job) -> None:
    assert crew.get(address(job)).status_code == crew.post(address(job)).status_code == 403


def test_what_stops_with_the_grid_is_said_so(office) -> None:
    job = lead("grid_tied")
    intake.decide_system_type(job=job, kind="grid_tied", actor=office_person(), reason="They asked for it.")
    factories.catalogue("grid_tied")
    page = office.post(address(job), follow=True).content.decode()
    assert "nothing: it stops with the grid" in page and "0 h in 9 of 10" not in page
    old = job.studies.get()
    old.headline["ride_through_words"] = "0 h in 9 of 10 outages, 0 h in half of them"
    old.save()
    assert "0 h in 9 of 10" not in office.get(address(job)).content.decode()


def test_two_inverters_have_a_breaker_each() -> None:
    figures = {"backfeed_breaker_a": 40.0, "busbar_allowed_a": 64.0}
    assert of_study(figures)[0] == ("Busbar", "40 A of 80 A left", False)
    assert of_study(figures, inverters=2)[0] == ("Busbar", "2 × 40 A, 80 A left", False)
