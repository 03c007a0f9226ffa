"""Pictures asked of the customer: what a stranger could send is made safe, and looked at before it counts."""

from __future__ import annotations

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from projects.actions import closing, customer_pictures
from projects.actions.problems import NotAllowed, Problems
from projects.models import CustomerAsk, CustomerUpload, Evidence
from tests.factories import crew_person, job_at, office_person, photo

pytestmark = pytest.mark.django_db


@pytest.fixture
def ask() -> CustomerAsk:
    return customer_pictures.ask_customer(job=job_at("lead"), actor=office_person(), kind="panel", words="Door open.")


def send(ask: CustomerAsk, upload=None) -> CustomerUpload:
    return customer_pictures.send_picture(ask=ask, actor=None, upload=upload or photo(7))


def geotagged() -> SimpleUploadedFile:
    picture, out = Image.new("RGB", (80, 60), "navy"), io.BytesIO()
    exif = Image.Exif()
    exif[0x010E] = "12 Spartina Lane"
    exif.get_ifd(0x8825)[1] = "N"
    picture.save(out, "JPEG", exif=exif)
    assert b"Spartina" in out.getvalue()
    return SimpleUploadedFile("panel.jpg", out.getvalue(), content_type="image/jpeg")


def test_a_picture_is_evidence_only_once_somebody_accepted_it(ask: CustomerAsk) -> None:
    sent = send(ask)
    assert not Evidence.objects.filter(job=ask.job).exists()
    assert ask.job.journal.last().actor is None
    kept = customer_pictures.accept_picture(upload=sent, actor=office_person())
    ask.refresh_from_db()
    assert (kept.kind, kept.note, ask.closed_at is not None) == ("panel", "From the customer", True)
    with pytest.raises(Problems, match="already"):
        customer_pictures.accept_picture(upload=sent, actor=office_person())


def test_what_is_kept_is_the_picture_alone(ask: CustomerAsk) -> None:
    sent = send(ask, geotagged())
    kept = sent.file.read()
    assert kept.startswith(b"\xff\xd8") and b"Spartina" not in kept
    assert not Image.open(io.BytesIO(kept)).getexif()
    assert sent.file.name.endswith(".jpg")


@pytest.mark.parametrize(
    "content",
    [b"", b"<script>alert(1)</script>", b"%PDF-1.7 not a picture", b"\xff\xd8\xff\xe0 broken", b"GIF89a" + b"\0" * 50],
)
def test_what_is_no_picture_is_refused_and_leaves_nothing(ask: CustomerAsk, content: bytes) -> None:
    with pytest.raises(Problems) as problems:
        send(ask, SimpleUploadedFile("panel.jpg", content, content_type="image/jpeg"))
    assert [p.field for p in problems.value] == ["upload"]
    assert not CustomerUpload.objects.exists()


def test_the_same_picture_twice_is_stored_once_and_many_are_too_many(ask: CustomerAsk) -> None:
    assert send(ask).pk == send(ask).pk
    for number in range(20, 25):
        send(ask, photo(number))
    with pytest.raises(Problems, match="Enough pictures"):
        send(ask, photo(26))
    assert send(ask).pk == CustomerUpload.objects.order_by("pk")[0].pk
    assert CustomerUpload.objects.count() == customer_pictures.MOST_WAITING


def test_one_that_is_not_usable_leaves_the_request_open(ask: CustomerAsk) -> None:
    sent = send(ask)
    with pytest.raises(Problems):
        customer_pictures.refuse_picture(upload=sent, actor=office_person(), reason=" ")
    customer_pictures.refuse_picture(upload=sent, actor=office_person(), reason="Too dark to read.")
    ask.refresh_from_db()
    assert ask.closed_at is None
    again = send(ask)
    assert again.pk != sent.pk


def test_nothing_is_sent_for_what_is_no_longer_asked(ask: CustomerAsk) -> None:
    waiting = send(ask)
    with pytest.raises(Problems, match="A picture came"):
        customer_pictures.close_ask(ask=ask, actor=office_person())
    customer_pictures.refuse_picture(upload=waiting, actor=office_person(), reason="Blurred.")
    customer_pictures.close_ask(ask=ask, actor=office_person())
    with pytest.raises(Problems, match="no longer asked"):
        send(ask, photo(9))


def test_a_closed_job_takes_no_picture(ask: CustomerAsk) -> None:
    closing.close_job(job=ask.job, actor=office_person(), outcome="lost", reason="They move.")
    with pytest.raises(Problems, match="closed"):
        send(ask)


def test_the_office_asks_once_for_each_thing_and_the_crew_not_at_all(ask: CustomerAsk) -> None:
    told = {"job": ask.job, "actor": office_person()}
    with pytest.raises(Problems, match="already"):
        customer_pictures.ask_customer(**told, kind="panel")
    with pytest.raises(Problems) as problems:
        customer_pictures.ask_customer(**told, kind="other")
    assert [p.field for p in problems.value] == ["words"]
    with pytest.raises(Problems):
        customer_pictures.ask_customer(**told, kind="passport")
    with pytest.raises(NotAllowed):
        customer_pictures.ask_customer(job=ask.job, actor=crew_person(), kind="bill")
    with pytest.raises(NotAllowed):
        customer_pictures.send_picture(ask=ask, actor=office_person(), upload=photo(3))
