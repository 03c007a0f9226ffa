"""A form that adds something, sent twice from one page: it is added once, and the second sending leads to where the
first one led. Nothing of this needs a script.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.contrib.messages import get_messages
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from projects.actions import office as office_actions
from projects.actions import payments
from projects.models import (
    Appointment,
    Crew,
    DeviceEntry,
    Invoice,
    Job,
    JobCost,
    JobIncentive,
    JournalEntry,
    Jurisdiction,
    LoadLine,
    OfficeProfile,
    Payment,
    RoofPlane,
    ServiceVisit,
    WarrantyClaim,
)
from projects.screens.sent_once import TWICE
from tests.at_once import meeting, one_book
from tests.factories import job_at, office_person, owner_person
from tests.screens.opened import as_opened, page_key
from tests.signing_in import signed_in

pytestmark = pytest.mark.django_db
PAID = {"amount_usd": "400", "method": "check"}
"""Without a reference: with one, the book itself refuses the same payment again."""


def about(job: Job, fact: str, subject: str = "") -> str:
    where = [job.number, fact, *([subject] if subject else [])]
    return reverse("record-about" if subject else "record", args=where)


@pytest.fixture
def job() -> Job:
    return office_actions.set_price(job=job_at("done"), actor=office_person(), price_usd=Decimal(30000))


@pytest.fixture
def payment(job: Job) -> tuple[str, dict[str, Any]]:
    return about(job, "payment"), PAID | {"on": timezone.localdate()}


def said(answer: HttpResponse) -> list[str]:
    return [str(message) for message in get_messages(answer.wsgi_request)]


def a_payment(job: Job) -> tuple[str, dict[str, Any]]:
    return about(job, "payment"), PAID | {"on": timezone.localdate()}


def a_cost(job: Job) -> tuple[str, dict[str, Any]]:
    return about(job, "cost"), {"on": timezone.localdate(), "kind": "other", "what": "Conduit", "amount_usd": "45"}


def an_invoice(job: Job) -> tuple[str, dict[str, Any]]:
    OfficeProfile.objects.create(pk=1, name="Longleaf & Shore Backup Power", phone="(555) 010-0140")
    return reverse("invoice-new", args=[job.number, 1]), {}


def a_claim(job: Job) -> tuple[str, dict[str, Any]]:
    warranty = job.warranties.first()
    return about(job, "claim"), {
        "on": timezone.localdate(),
        "warranty": warranty.pk,
        "trouble": "The display is dark.",
    }


def a_service_visit(job: Job) -> tuple[str, dict[str, Any]]:
    on = timezone.localdate() + timedelta(days=20)
    return about(job, "service-visit"), {"on": on, "purpose": "A yearly look", "despite": "on"}


def an_incentive(job: Job) -> tuple[str, dict[str, Any]]:
    typed = {"name": "Rebate", "usd": "900", "month": "6", "source": "A letter", "entered_on": timezone.localdate()}
    return reverse("job-incentives", args=[job.number]), typed


def a_load_line(job: Job) -> tuple[str, dict[str, Any]]:
    typed = {"name": "Kiln", "kind": "motor", "tier": "can_wait", "count": "1", "watts": "900"}
    typed |= {"hours_per_day": "1", "voltage_v": "240.0"}
    return reverse("job-load-new", args=[job.number]), typed


ADDED: list[tuple[Callable[[Job], tuple[str, dict[str, Any]]], Any]] = [
    (a_payment, Payment),
    (a_cost, JobCost),
    (an_invoice, Invoice),
    (a_claim, WarrantyClaim),
    (a_service_visit, ServiceVisit),
    (an_incentive, JobIncentive),
    (a_load_line, LoadLine),
]


@pytest.mark.parametrize(("what", "model"), ADDED, ids=[what.__name__ for what, _ in ADDED])
def test_the_second_sending_adds_nothing_and_leads_to_the_same_place(office, job, what, model) -> None:
    address, typed = what(job)
    before, typed = model.objects.count(), typed | page_key(office, address)
    first = office.post(address, typed)
    assert first.status_code == 302, first.context["form"].errors
    assert model.objects.count() == before + 1
    written = JournalEntry.objects.count()
    for again in (office.post(address, typed), office.post(address, typed)):
        assert (again.status_code, again["Location"]) == (302, first["Location"])
        assert TWICE in said(again)
    assert model.objects.count() == before + 1
    assert JournalEntry.objects.count() == written
    page = office.get(first["Location"]).content.decode()
    assert "recorded once" in page


def test_without_a_key_each_sending_counts_as_before(office, payment) -> None:
    address, typed = payment
    for _ in range(2):
        assert office.post(address, typed).status_code == 302
    assert Payment.objects.count() == 2
    assert not DeviceEntry.objects.exists()


def test_another_page_with_the_same_words_is_another_payment(office, payment) -> None:
    address, typed = payment
    for _ in range(2):
        assert office.post(address, typed | page_key(office, address)).status_code == 302
    assert Payment.objects.count() == 2


def test_other_words_from_the_same_page_are_something_else(office, payment) -> None:
    """The browser's "back", another amount, and send: losing that one would be worse than any double."""
    address, typed = payment
    typed |= page_key(office, address)
    for amount in ("400", "250", "400"):
        assert office.post(address, typed | {"amount_usd": amount}).status_code == 302
    assert sorted(Payment.objects.values_list("amount_usd", flat=True)) == [250, 400]


def test_what_was_refused_may_come_again_as_it_is(office, payment) -> None:
    address, typed = payment
    key = page_key(office, address)
    ahead = typed | key | {"on": timezone.localdate() + timedelta(days=1)}
    for _ in range(2):
        answer = office.post(address, ahead)
        assert answer.status_code == 422
        assert TWICE not in said(answer)
    assert not DeviceEntry.objects.exists()
    assert office.post(address, typed | key).status_code == 302


def test_an_answer_that_only_shows_something_is_not_taken_for_a_record(office, job) -> None:
    """The customer's link is shown once, in the answer: a second sending must show one again."""
    address = about(job, "customer-link")
    typed = page_key(office, address)
    for _ in range(2):
        answer = office.post(address, typed)
        assert answer.status_code == 200 and "/status/" in answer.content.decode()
    assert job.customer_links.count() == 2
    assert not DeviceEntry.objects.exists()


def test_a_key_belongs_to_its_person(office, payment) -> None:
    address, typed = payment
    typed |= page_key(office, address)
    assert office.post(address, typed).status_code == 302
    assert signed_in(owner_person()).post(address, typed).status_code == 302
    assert Payment.objects.count() == 2


def test_inside_a_page_the_second_sending_is_led_by_its_header(office, payment) -> None:
    address, typed = payment
    typed |= page_key(office, address)
    first, second = (office.post(address, typed, headers={"HX-Request": "true"}) for _ in range(2))
    assert second.status_code == 200 and second["HX-Redirect"] == first["HX-Redirect"]
    assert Payment.objects.count() == 1


def test_what_a_tablet_kept_has_a_key_of_its_own(office) -> None:
    """Two entries from one page without a signal: the page's key is the same, and both are to be recorded."""
    job = job_at("engineering")
    address, before = reverse("job-plane-new", args=[job.number]), RoofPlane.objects.count()
    typed = as_opened(office, address) | page_key(office, address)
    typed |= {"azimuth_deg": "180", "tilt_deg": "4:12", "width_m": "20", "slope_length_m": "12"}
    typed |= {"covering": "shingle", "opened_with": ""}
    for number, name in enumerate(("Porch", "Shed")):
        headers = {"X-Entry-Key": f"{number}" * 32, "X-Entry-Person": office.session["_auth_user_id"]}
        answer = office.post(address, typed | {"name": name}, headers=headers)
        assert answer.status_code == 204, answer.content.decode()
    assert RoofPlane.objects.count() == before + 2


def test_a_new_row_of_a_register_comes_in_once(office) -> None:
    typed = as_opened(office, reverse("office-edit", args=["jurisdictions", job_at("permits").jurisdiction.pk]))
    address = reverse("office-new", args=["jurisdictions"])
    typed |= {"name": "Town of Ebb", "opened_with": ""} | page_key(office, address)
    before = Jurisdiction.objects.count()
    answers = [office.post(address, typed) for _ in range(2)]
    assert [answer["Location"] for answer in answers] == [reverse("office")] * 2
    assert Jurisdiction.objects.count() == before + 1


def test_an_appointment_is_made_once(office) -> None:
    job = job_at("site_assessment")
    address = reverse("calendar-day", args=[job.number, "site_visit"])
    typed = {"on": timezone.localdate() + timedelta(days=8), "despite": "on"} | page_key(office, address)
    answers = [office.post(address, typed) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert Appointment.objects.filter(job=job).count() == 1
    assert job.journal.filter(kind="visit_booked").count() == 1


def test_yesterdays_pages_are_forgotten_and_a_tablets_entries_are_not(office, payment) -> None:
    address, typed = payment
    typed |= page_key(office, address)
    assert office.post(address, typed).status_code == 302
    person = office.session["_auth_user_id"]
    DeviceEntry.objects.create(sent_by_id=person, key="6a0d" * 8, address="/crew/")
    DeviceEntry.objects.update(taken_in_at=timezone.now() - timedelta(hours=25))
    assert office.post(address, typed | page_key(office, address)).status_code == 302
    left = DeviceEntry.objects.filter(sent_by_id=person)
    assert left.filter(key__startswith="page:").count() == 1
    assert left.exclude(key__startswith="page:").count() == 1


def same_browser(client: Client) -> Client:
    """Another request of the same browser."""
    twin = Client()
    twin.cookies.load(client.cookies.output(header="", sep=";"))
    return twin


@pytest.mark.django_db(transaction=True)
def test_both_at_the_same_instant_are_one(tmp_path, monkeypatch) -> None:
    job = job_at("done")
    office = signed_in(office_person())
    address = about(job, "payment")
    typed = PAID | {"on": timezone.localdate()} | page_key(office, address)
    monkeypatch.setattr(payments, "record_payment", meeting(payments.record_payment))
    with one_book(tmp_path) as at_once:
        answers = at_once(*[lambda: same_browser(office).post(address, typed)] * 2)
        (made,) = at_once(Payment.objects.count)
    assert [answer.status_code for answer in answers] == [302, 302]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert made == 1


def test_a_crew_is_added_once_where_the_book_would_refuse_its_name_a_second_time(office) -> None:
    address = reverse("crew-new")
    typed = {"name": "North", "jobs_per_day": "2", "working_days": list("12345"), "active": "on"}
    typed |= page_key(office, address)
    for _ in range(2):
        assert office.post(address, typed).status_code == 302
    assert Crew.objects.count() == 1
