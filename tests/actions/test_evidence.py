"""Photos: only the picture is kept, and sending twice stores once."""

from __future__ import annotations

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from projects.actions import evidence, pictures
from projects.actions.problems import NotAllowed, Problems
from projects.models import Evidence, Job
from tests.factories import PersonFactory, crew_person, job_at, photo

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return job_at("site_assessment")


def add(job: Job, upload, kind: str = "panel", **more) -> Evidence:
    return evidence.add_photo(job=job, actor=crew_person(), kind=kind, upload=upload, **more)


def encoded(form: str = "JPEG", size=(40, 20), mode: str = "RGB", exif: Image.Exif | None = None) -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new(mode, size, 200).save(out, form, **({"exif": exif} if exif else {}))
    return SimpleUploadedFile("IMG_1.JPG", out.getvalue())


def test_where_and_when_it_was_taken_is_not_kept(job: Job) -> None:
    exif = Image.Exif()
    exif[0x010F] = "Maker of phones"
    exif.get_ifd(0x8825)[1] = "N"
    exif[0x0112] = 6  # lies on its side: turned by a quarter
    kept = add(job, encoded(exif=exif))
    with Image.open(kept.file) as picture:
        assert picture.size == (20, 40)
        assert not picture.getexif()
        assert "exif" not in picture.info


def test_a_large_picture_is_made_smaller(job: Job) -> None:
    with Image.open(add(job, encoded(size=(4000, 1000))).file) as picture:
        assert picture.size == (2000, 500)


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L", "P", "LA"])
def test_png_becomes_jpeg(job: Job, mode: str) -> None:
    with Image.open(add(job, encoded("PNG", mode=mode)).file) as picture:
        assert (picture.format, picture.mode) == ("JPEG", "RGB")


HEIC = b"\x00\x00\x00\x18ftypheic" + b"\x00" * 64


@pytest.mark.parametrize("content", [HEIC, b"<svg xmlns='x'/>", b"GIF89a" + b"\x00" * 40, b"\xff\xd8\xff"])
def test_what_is_no_jpeg_or_png_is_refused_by_name(job: Job, content: bytes) -> None:
    with pytest.raises(Problems, match="JPEG or PNG") as problems:
        add(job, SimpleUploadedFile("IMG.HEIC", content))
    assert [p.field for p in problems.value] == ["upload"]
    assert not job.evidence.exists()


def test_a_cut_off_upload_is_refused(job: Job) -> None:
    whole = encoded(size=(400, 400)).read()
    with pytest.raises(Problems):
        add(job, SimpleUploadedFile("a.jpg", whole[: len(whole) // 2]))


def test_a_decompression_bomb_is_refused(job: Job) -> None:
    with pytest.raises(Problems, match="megapixels"):
        add(job, encoded("PNG", size=(9000, 9000), mode="1"))


def test_too_many_bytes_are_refused(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pictures, "MOST_BYTES", 100)
    with pytest.raises(Problems, match="At most"):
        add(job, encoded())


def test_nothing_is_no_photo(job: Job) -> None:
    with pytest.raises(Problems, match="Choose a photo"):
        add(job, SimpleUploadedFile("a.jpg", b""))


def test_sent_twice_is_stored_once(job: Job) -> None:
    first = add(job, photo(1), key="tablet-2-0001")
    again = add(job, photo(1), key="tablet-2-0001")
    assert (first, job.evidence.count(), job.journal.filter(kind="photo_added").count()) == (again, 1, 1)
    for other in ({"upload": photo(2)}, {"upload": photo(1), "kind": "roof"}):
        with pytest.raises(Problems, match="another photo"):
            add(job, key="tablet-2-0001", **other)
    assert add(job, photo(1)) != first


def test_a_removed_photo_no_longer_shows_a_fact(job: Job) -> None:
    shown = add(job, photo(1))
    with pytest.raises(Problems):
        evidence.remove_photo(job=job, actor=crew_person(), evidence_id=shown.pk, reason="")
    evidence.remove_photo(job=job, actor=crew_person(), evidence_id=shown.pk, reason="Blurred.")
    shown.refresh_from_db()
    assert shown.removed_at is not None
    with pytest.raises(Problems, match="no longer there"):
        evidence.remove_photo(job=job, actor=crew_person(), evidence_id=shown.pk, reason="Again.")
    with pytest.raises(Problems):
        evidence.remove_photo(job=job_at("lead"), actor=crew_person(), evidence_id=shown.pk, reason="Other job.")


def test_a_stranger_adds_nothing_and_leaves_no_file(job: Job, settings) -> None:
    with pytest.raises(NotAllowed):
        evidence.add_photo(job=job, actor=PersonFactory(role="licence_holder"), kind="panel", upload=photo())
    assert not list(settings.MEDIA_ROOT.rglob("*.jpg"))


def test_a_photo_that_cannot_be_recorded_leaves_no_file(job: Job, settings, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **__: object) -> None:
        raise RuntimeError

    monkeypatch.setattr("projects.actions.recording.journal.append", fail)
    with pytest.raises(RuntimeError):
        add(job, photo())
    assert not list(settings.MEDIA_ROOT.rglob("*.jpg"))


def test_unknown_kinds_long_notes_and_short_keys_are_refused(job: Job) -> None:
    with pytest.raises(Problems) as problems:
        add(job, photo(), kind="selfie", note="x" * 201, key="1")
    assert {p.field for p in problems.value} == {"kind", "note", "key"}
