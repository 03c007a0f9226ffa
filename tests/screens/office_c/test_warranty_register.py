"""The warranties on the job page, the customer's page and in the register."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from projects.actions.office import share_link
from projects.models import Warranty
from tests.factories import job_at, lead, office_person

pytestmark = pytest.mark.django_db


def text(response) -> str:
    return response.content.decode()


def test_the_form_proposes_the_years_and_records_them(office) -> None:
    job = job_at("in_service", warranty_years_wanted=8)
    address = reverse("record", args=[job.number, "warranties"])
    assert f'href="{address}"' in text(office.get(reverse("job", args=[job.number])))
    page = text(office.get(address))
    assert 'value="8"' in page
    assert "Wader 400 25 years" in page
    typed = {"on": timezone.localdate().isoformat(), "workmanship_years": "9", "note": ""}
    assert office.post(address, {**typed, "workmanship_years": "3"}).status_code == 422
    assert office.post(address, typed).status_code == 302
    shown = text(office.get(reverse("job", args=[job.number])))
    assert "9 years, until" in shown
    assert "Warranties registered: workmanship 9 years, 3 makers&#x27; warranties" in shown


def test_the_crew_does_not_register_them(crew) -> None:
    job = job_at("in_service")
    assert crew.get(reverse("record", args=[job.number, "warranties"])).status_code == 403


@pytest.mark.parametrize(("language", "words"), [("en", "Our workmanship"), ("es", "Nuestro trabajo")])
def test_the_customer_reads_them_in_their_language(client, language, words) -> None:
    job = job_at("done", preferred_language=language)
    page = text(client.get(reverse("status", args=[share_link(job=job, actor=office_person())])))
    assert words in page
    assert str(job.warranties.get(covers="Wader 400").ends_on.year) in page


def test_before_that_the_customer_reads_of_none(client) -> None:
    page = text(client.get(reverse("status", args=[share_link(job=lead(), actor=office_person())])))
    assert "Your warranties" not in page


def test_the_register_finds_narrows_and_orders(office) -> None:
    job = job_at("done")
    today = timezone.localdate()
    Warranty.objects.filter(covers="Knot H8").update(ends_on=today + timedelta(days=30))
    Warranty.objects.filter(covers="Turnstone 13").update(
        starts_on=today - timedelta(days=900), ends_on=today - timedelta(days=1)
    )
    address = reverse("warranties")
    running = text(office.get(address))
    assert running.index("Knot H8") < running.index("Workmanship") < running.index("Wader 400")
    assert "30 days left" in running
    assert "Turnstone 13" not in running
    soon = text(office.get(address, {"show": "soon"}))
    assert "Knot H8" in soon
    assert "Workmanship" not in soon.partition("<tbody>")[2]
    assert "Turnstone 13" in text(office.get(address, {"show": "ended"}))
    found = text(office.get(address, {"q": f"{job.label} wader"}))
    assert "Wader 400" in found
    assert "Knot H8" not in found.partition("<tbody>")[2]
    assert "No warranty fits" in text(office.get(address, {"q": "nowhere"}))
    assert office.get(address, {"sort": "-years", "page": "99"}).status_code == 200


def test_an_empty_register_says_when_they_come(office) -> None:
    assert "No warranty runs yet" in text(office.get(reverse("warranties")))


def test_the_register_costs_the_same_for_many(office, django_assert_max_num_queries) -> None:
    job = job_at("done")
    today = timezone.localdate()
    Warranty.objects.bulk_create(
        Warranty(job=job, covers=f"Part {n}", years=5, starts_on=today, ends_on=today + timedelta(days=n + 1))
        for n in range(60)
    )
    with django_assert_max_num_queries(6):
        office.get(reverse("warranties"))


def test_only_the_office_reads_it(crew, client) -> None:
    assert crew.get(reverse("warranties")).status_code == 403
    assert client.get(reverse("warranties")).status_code == 302
    assert crew.post(reverse("warranties")).status_code == 403
