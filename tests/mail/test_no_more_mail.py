"""Nobody is written to against their wish: the customer's one press, the office's switch, a letter held back."""

from __future__ import annotations

import re

import pytest
from django.test import Client
from django.urls import reverse

from projects.actions import mailing
from projects.actions.problems import NotAllowed
from projects.models import Message
from tests.factories import crew_person, job_at, office_person
from tests.mail.postbox import book, monday, sent, writable

pytestmark = pytest.mark.django_db


def test_nobody_without_address_or_against_their_wish_is_written_to() -> None:
    job = writable(job_at("site_assessment"))
    mailing.set_email_updates(job=job, actor=office_person(), wanted=False)
    book(job)
    assert not Message.objects.exists()
    mailing.set_email_updates(job=job, actor=office_person(), wanted=True)
    assert not Message.objects.exists()
    job.customer.email = ""
    job.customer.save()
    book(job, monday(3))
    assert not Message.objects.exists()


def test_a_letter_that_waits_is_stopped_when_they_want_no_more() -> None:
    job = writable(job_at("site_assessment"))
    book(job)
    mailing.set_email_updates(job=job, actor=office_person(), wanted=False)
    assert sent() == []
    assert Message.objects.get().status == "stopped"
    assert job.journal.latest("id").kind == "mail_stopped"


def test_the_letter_carries_one_press_to_end_it(settings) -> None:
    settings.OFFICE_ADDRESS = "https://book.shoal.example"
    job = writable(job_at("site_assessment"), "es")
    book(job)
    (told,) = sent()
    (link,) = re.findall(r"https://book\.shoal\.example(/mail/stop/\S+)", told.body)
    assert told.extra_headers["List-Unsubscribe"] == f"<https://book.shoal.example{link}>"
    assert told.extra_headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    strict = Client(enforce_csrf_checks=True)
    page = strict.get(link)
    assert page.status_code == 200
    assert "No más correos" in page.content.decode()
    job.customer.refresh_from_db()
    assert job.customer.email_updates, "opening the link must change nothing"
    assert strict.post(link, {"List-Unsubscribe": "One-Click"}).status_code == 200
    job.customer.refresh_from_db()
    assert not job.customer.email_updates
    assert strict.post(link).status_code == 200
    assert strict.get(link[:-3] + "xy/").status_code == 404


def test_without_an_address_of_its_own_the_book_says_how_to_end_it_by_hand(settings) -> None:
    settings.OFFICE_ADDRESS = ""
    book(writable(job_at("site_assessment")))
    (told,) = sent()
    assert "answer this one and say so" in told.body
    assert "List-Unsubscribe" not in told.extra_headers


def test_the_office_stops_and_sends_again_and_nobody_else() -> None:
    job = writable(job_at("site_assessment"))
    book(job)
    row = Message.objects.get()
    with pytest.raises(NotAllowed):
        mailing.stop_message(actor=crew_person(), message=row)
    client = Client()
    client.force_login(office_person())
    address = reverse("message-act", args=[row.pk])
    assert client.post(address, {"do": "stop", "back": "//evil.example/"}).url == reverse("messages")
    assert sent() == []
    assert client.post(address, {"do": "again"}).status_code == 302
    assert Message.objects.get().status == "stopped", "what was stopped stays so"
    page = client.get(reverse("job-messages", args=[job.number])).content.decode()
    assert "Stopped" in page
    assert client.post(reverse("job-messages-choose", args=[job.number]), {"wanted": "no"}).status_code == 302
    job.customer.refresh_from_db()
    assert not job.customer.email_updates
