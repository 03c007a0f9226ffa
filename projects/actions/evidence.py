"""Photos that show a fact: re-encoded, so that nothing but the picture is kept."""

from __future__ import annotations

import hashlib
from typing import Any, BinaryIO

from django.core.files.base import ContentFile
from django.utils import timezone

from projects.actions import pictures
from projects.actions.findings import today
from projects.actions.recording import recording, written_once
from projects.actions.roles import FIELD
from projects.models import Evidence, Job, Person, Site

SITE_KINDS = frozenset({"panel", "meter", "roof", "attic"})


def add_photo(
    *, job: Job, actor: Person, kind: str, upload: BinaryIO | Any, note: str = "", key: str | None = None
) -> Evidence:
    """Keeps a photo. ``key``: made up by the device that sends it; sending the same again stores once.

    The picture is re-encoded before the job is locked, since that takes a good part of a second.
    """
    content, problem = pictures.reencoded(upload)
    digest = hashlib.sha256(content).hexdigest()
    with recording(job, actor, FIELD) as book:
        if kind not in Evidence.Kind.values:
            book.findings.add("kind", "Choose what the photo shows.")
        if problem:
            book.findings.add("upload", problem)
        if len(note.strip()) > 200:
            book.findings.add("note", "At most 200 characters.")
        if key is not None and not 8 <= len(key) <= 64:
            book.findings.add("key", "A key has 8 to 64 characters.")
        book.findings.refuse()
        sent = Evidence.objects.filter(job=job, client_key=key).first() if key else None
        if sent is not None:
            if (sent.kind, sent.sha256) != (kind, digest):
                book.findings.add("key", "This key belongs to another photo.")
            book.findings.refuse()
            book.unchanged()
            return sent
        photo = Evidence(job=job, kind=kind, sha256=digest, note=note.strip(), client_key=key or "", added_by=actor)
        photo.file.save("photo.jpg", ContentFile(content), save=False)
        try:
            photo.save()
            if kind in SITE_KINDS:
                assessed(job)
            book.write("photo_added", photo=kind, evidence=photo.pk)
        except BaseException:
            photo.file.storage.delete(photo.file.name)
            raise
    return photo


def remove_photo(*, job: Job, actor: Person, evidence_id: int, reason: str) -> None:
    """Takes a photo out of the job (the wrong house, a blurred one); the file stays as it is."""
    with recording(job, actor, FIELD) as book:
        book.findings.need("reason", reason, "Say why it is removed.")
        photo = Evidence.objects.filter(job=job, pk=evidence_id, removed_at=None).first()
        if photo is None:
            book.findings.add("", "That photo is no longer there.")
        book.findings.refuse()
        assert photo is not None
        written_once(Evidence.objects.filter(pk=photo.pk, removed_at=None).update(removed_at=timezone.now()))
        book.write("photo_removed", photo=photo.kind, evidence=photo.pk, reason=reason.strip())


def assessed(job: Job) -> None:
    """A picture of the house makes today the day of the site's latest record."""
    Site.objects.filter(pk=job.site_id, assessed_on=None).update(assessed_on=today())
    Site.objects.filter(pk=job.site_id, assessed_on__lt=today()).update(assessed_on=today())
    job.refresh_from_db()
