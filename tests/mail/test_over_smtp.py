"""Letters over a real socket to a mail server, read back with Python's own e-mail parser (RFC 5322, MIME)."""

from __future__ import annotations

import email
from email import policy

import pytest

from projects.mail import sending
from projects.models import Message, OfficeProfile
from tests.factories import job_at
from tests.mail.postbox import ADDRESS, book, writable
from tests.mail.smtp_server import MailServer

pytestmark = pytest.mark.django_db


def by(settings, server: MailServer) -> None:
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", server.port
    settings.EMAIL_USE_TLS = settings.EMAIL_USE_SSL = False
    settings.EMAIL_HOST_USER = settings.EMAIL_HOST_PASSWORD = ""
    settings.DEFAULT_FROM_EMAIL = "Shoal & Sons <letters@shoal.example>"
    settings.OFFICE_ADDRESS = "https://book.shoal.example"


def test_a_letter_arrives_whole(settings) -> None:
    OfficeProfile.objects.update_or_create(pk=1, defaults={"name": "Shoal & Sons", "email": "office@shoal.example"})
    book(writable(job_at("site_assessment"), "es"))
    with MailServer() as server:
        by(settings, server)
        assert sending.send_waiting().sent == 1
    (taken,) = server.taken
    assert (taken.sender, taken.readers) == ("letters@shoal.example", [ADDRESS])
    assert all(len(line) <= 998 for line in taken.content.split(b"\r\n")), "RFC 5322, 2.1.1"
    read = email.message_from_bytes(taken.content, policy=policy.default)
    assert not read.defects
    row = Message.objects.get()
    assert read["Subject"] == row.subject
    assert read["Reply-To"] == "office@shoal.example"
    assert read["Auto-Submitted"] == "auto-generated"
    assert read["Date"]
    assert read["Message-ID"]
    assert read["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert read.get_content_type() == "multipart/alternative"
    text, html = read.iter_parts()
    assert text.get_content().replace("\r\n", "\n").strip() == row.text.strip()
    assert "tablero eléctrico" in text.get_content()
    assert "tablero eléctrico" in html.get_content()


def test_who_is_refused_for_now_waits_and_who_is_refused_for_good_is_shown(settings) -> None:
    book(writable(job_at("site_assessment")))
    refuse = {ADDRESS: b"450 mailbox busy"}
    with MailServer(refuse) as server:
        by(settings, server)
        assert sending.send_waiting().waiting == 1
        assert "450" in Message.objects.get().last_error
        refuse[ADDRESS] = b"550 no such mailbox"
        Message.objects.update(next_try_at=Message.objects.get().queued_at)
        assert sending.send_waiting().failed == 1
    row = Message.objects.get()
    assert (row.status, row.attempts) == ("failed", 2)
    assert "no such mailbox" in row.last_error
    assert server.taken == []


def test_a_server_that_is_not_there_leaves_the_letter_in_the_outbox(settings) -> None:
    book(writable(job_at("site_assessment")))
    with MailServer() as server:
        pass
    by(settings, server)
    assert sending.send_waiting().waiting == 1
    assert "ConnectionRefusedError" in Message.objects.get().last_error
