"""What a customer is written when their job moves: once, in plain words, in their language."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core import mail
from django.core.management import call_command
from django.utils import timezone

from projects.actions import intake, interconnection, outbox, scheduling
from projects.actions.problems import Problems
from projects.actions.standing import standing_of
from projects.mail import sending, words
from projects.mail.letters import letter
from projects.models import JournalEntry, Message
from projects.screens.customer import words as page_words
from tests.factories import Story, job_at, lead, office_person
from tests.mail.postbox import ADDRESS, book, monday, sent, writable

pytestmark = pytest.mark.django_db


def test_a_booked_visit_is_told_once(django_capture_on_commit_callbacks) -> None:
    job = writable(job_at("site_assessment"))
    with django_capture_on_commit_callbacks(execute=True):
        book(job)
    (told,) = mail.outbox
    assert told.to == [ADDRESS]
    assert told.subject == f"Our visit to your home on {monday():%A}, {monday():%B} {monday().day}"
    assert "is booked for" in told.body
    assert "Somebody who can open the room of the electrical panel" in told.body
    sending.send_waiting()
    call_command("send_mail")
    assert len(mail.outbox) == 1
    row = Message.objects.get()
    assert (row.status, row.to_address, row.attempts) == ("sent", ADDRESS, 0)


def test_nothing_is_told_before_the_commit_nor_of_what_was_refused() -> None:
    job = writable(job_at("site_assessment"))
    with pytest.raises(Problems):
        book(job, on=timezone.localdate() + timedelta(days=900))
    assert not Message.objects.exists()
    book(job)
    assert Message.objects.get().status == "queued"
    assert mail.outbox == []


def test_a_new_stage_says_where_it_stands_in_the_words_of_the_customers_page() -> None:
    job = writable(lead("hybrid", days_ago=2))
    Story(job, "hybrid").lead()
    told = sent()[-1]
    stage = page_words.stage_words("site_assessment", "en", off_grid=False)
    assert told.subject == f"Your project: {stage.title}"
    assert stage.now in told.body


def test_permission_to_operate_is_told_with_the_caution() -> None:
    job = writable(job_at("operation", "grid_tied"))
    interconnection.grant_permission(job=job, actor=office_person(), on=timezone.localdate())
    (told,) = sent()
    assert told.subject == "Your utility has given permission to operate"
    assert "don't switch anything on yourself" in told.body
    html = told.alternatives[0].content
    assert "don&#x27;t switch anything on yourself" in html


def test_spanish_customers_read_spanish() -> None:
    job = writable(job_at("site_assessment"), "es")
    book(job, starts_at=None)
    (told,) = sent()
    assert told.subject.startswith("Nuestra visita a su casa")
    assert f"{monday().day} de " in told.subject
    assert "Debe estar en casa alguien" in told.body
    for english in ("booked", "Questions", "Where it stands", "Hello"):
        assert english not in told.body


def test_only_the_newest_day_is_told_while_an_older_letter_still_waits() -> None:
    job = writable(job_at("site_assessment"))
    book(job, monday(2))
    book(job, monday(3))
    (told,) = sent()
    assert f"{monday(3):%B} {monday(3).day}" in told.subject
    assert sorted(Message.objects.values_list("status", flat=True)) == ["sent", "superseded"]


def test_a_day_that_moves_after_it_was_told_names_the_day_it_was() -> None:
    job = writable(job_at("site_assessment"))
    book(job, monday(2))
    sent()
    book(job, monday(3), reason="Our ladder broke.")
    told = sent()[-1]
    assert told.subject.startswith("Our visit to your home: the new day is Monday, ")
    assert f"It was planned for Monday, {monday(2):%B} {monday(2).day} before." in told.body
    assert "ladder broke" not in told.body


def test_a_day_called_off_is_told() -> None:
    job = writable(job_at("site_assessment"))
    book(job)
    sent()
    scheduling.cancel(job=job, kind="site_visit", actor=office_person(), reason="Rain.")
    told = sent()[-1]
    assert "called off" in told.subject
    assert "Rain." not in told.body


def test_what_is_only_planned_stays_in_the_office() -> None:
    job = writable(job_at("permits"))
    scheduling.schedule(job=job, kind="installation", actor=office_person(), on=monday(6), despite=True)
    assert not Message.objects.exists()


def test_a_fact_entered_long_afterwards_is_history() -> None:
    job = writable(job_at("operation", "grid_tied"))
    told = {"job": job, "kind": "permission_granted", "data": {}}
    answer = standing_of(job)
    for days, written in ((outbox.LATE_DAYS + 1, False), (outbox.LATE_DAYS, True)):
        entry = JournalEntry(effective_on=timezone.localdate() - timedelta(days=days), **told)
        assert bool(outbox.after_fact(job, entry, job.stage, answer)) is written


def test_a_name_with_markup_stays_a_name() -> None:
    job = writable(job_at("site_assessment"))
    intake.update_contact(job=job, actor=office_person(), name="<b>Ada</b> & Co")
    Message.objects.all().delete()
    book(job)
    (told,) = sent()
    assert "Hello <b>Ada</b> & Co," in told.body
    assert "&lt;b&gt;Ada" in told.alternatives[0].content


def test_every_kind_has_words_in_both_languages() -> None:
    assert words.LETTER["en"].keys() == words.LETTER["es"].keys()
    assert words.SUBJECTS["en"].keys() == words.SUBJECTS["es"].keys()
    assert words.STOP_PAGE["en"].keys() == words.STOP_PAGE["es"].keys()
    job = writable(job_at("site_assessment"))
    for language in ("en", "es"):
        for kind, more in (("need", {}), ("stage", {}), ("permission", {}), ("asked", {"photo": "panel"})):
            data = {"stage": "permits", "needs": ["contract"], **more}
            row = Message(job=job, kind=kind, fact=kind, data=data, language=language)
            written = letter(row)
            assert written.subject
            assert page_words.CUSTOMER_STEPS[language]["contract"] in written.text
