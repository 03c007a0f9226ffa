"""What becomes of a letter that can't be sent: it waits, is tried again, and is shown in the end; none goes twice."""

from __future__ import annotations

import smtplib
from datetime import timedelta

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from projects.actions import mailing, outbox
from projects.mail import sending
from projects.models import Message
from tests.factories import job_at, office_person
from tests.mail.postbox import ADDRESS, book, writable

pytestmark = pytest.mark.django_db


class Server:
    """A mail server that fails ``times`` times with ``error``."""

    def __init__(self, error: Exception, times: int = 99) -> None:
        self.error, self.times = error, times

    def install(self, monkeypatch) -> None:
        real = sending.EmailMultiAlternatives.send

        def send(message, *args, **kwargs):
            if self.times > 0:
                self.times -= 1
                raise self.error
            return real(message, *args, **kwargs)

        monkeypatch.setattr(sending.EmailMultiAlternatives, "send", send)


def test_a_failed_sending_waits_longer_each_time_and_succeeds_in_the_end(monkeypatch) -> None:
    Server(ConnectionRefusedError("nobody there"), times=2).install(monkeypatch)
    book(writable(job_at("site_assessment")))
    waits = []
    for _ in range(2):
        tally = sending.send_waiting()
        assert (tally.sent, tally.waiting) == (0, 1)
        row = Message.objects.get()
        waits.append(row.next_try_at - timezone.now())
        assert "nobody there" in row.last_error
        assert sending.send_waiting().sent == 0, "it is not due yet"
        Message.objects.update(next_try_at=timezone.now())
    assert waits[1] > waits[0] * 1.9
    assert sending.send_waiting().sent == 1
    assert Message.objects.get().status == "sent"
    assert len(mail.outbox) == 1


def test_after_a_days_trying_the_office_is_shown_it(monkeypatch) -> None:
    Server(TimeoutError("too slow")).install(monkeypatch)
    job = writable(job_at("site_assessment"))
    book(job)
    for _ in range(sending.MOST_ATTEMPTS):
        Message.objects.update(next_try_at=timezone.now())
        sending.send_waiting()
    assert Message.objects.get().status == "failed"
    client = Client()
    client.force_login(office_person())
    page = client.get(reverse("messages")).content.decode()
    assert "could not be sent" in page
    assert "TimeoutError: too slow" in page


def test_an_address_that_the_server_refuses_for_good_is_not_tried_again(monkeypatch) -> None:
    Server(smtplib.SMTPRecipientsRefused({ADDRESS: (550, b"no such mailbox")})).install(monkeypatch)
    book(writable(job_at("site_assessment")))
    assert sending.send_waiting().failed == 1
    row = Message.objects.get()
    assert (row.status, row.attempts) == ("failed", 1)
    mailing.send_again(actor=office_person(), message=row)
    assert Message.objects.get().status == "queued"


def test_what_was_being_sent_when_the_program_died_is_left_to_a_person() -> None:
    book(writable(job_at("site_assessment")))
    Message.objects.update(status="sending", claimed_at=timezone.now() - timedelta(hours=1))
    assert sending.send_waiting().failed == 1
    assert mail.outbox == []
    assert "may have arrived" in Message.objects.get().last_error


def test_a_letter_another_process_has_is_left_alone() -> None:
    book(writable(job_at("site_assessment")))
    row = Message.objects.get()
    Message.objects.update(status="sending", claimed_at=timezone.now())
    sending._send_one(row.pk, sending.Tally())
    assert mail.outbox == []


def test_the_same_fact_can_not_be_queued_twice() -> None:
    job = writable(job_at("site_assessment"))
    first = outbox.queue(job=job, kind="stage", fact="stage:permits", data={"stage": "permits"})
    assert first is not None
    assert outbox.queue(job=job, kind="stage", fact="stage:permits", data={"stage": "permits"}) is None
    assert Message.objects.count() == 1


def test_without_a_mail_server_letters_become_files(settings, tmp_path, caplog) -> None:
    settings.EMAIL_BACKEND = "projects.mail.backend.FileAndConsole"
    settings.MAIL_FOLDER = tmp_path / "mail"
    book(writable(job_at("site_assessment")))
    assert sending.send_waiting().sent == 1
    (kept,) = (tmp_path / "mail").glob("*.eml")
    assert f"To: {ADDRESS}".encode() in kept.read_bytes()
