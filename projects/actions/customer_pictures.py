"""Pictures that the office asks a customer for, and what becomes of those that come.

What a stranger could send is treated as such: decoded and written anew without its metadata before anything is kept,
and no part of the job's evidence until somebody in the office has looked at it.
"""

from __future__ import annotations

import hashlib
from typing import Any, BinaryIO

from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone

from projects.actions import pictures
from projects.actions.evidence import SITE_KINDS, assessed
from projects.actions.problems import NotAllowed
from projects.actions.recording import recording, written_once
from projects.actions.roles import OFFICE
from projects.models import CustomerAsk, CustomerUpload, Evidence, Job, Person

MOST_WAITING = 6
"""Of one request: more than anybody needs to show one thing, and too few to fill a disk."""
MOST_ASKS = 10


def ask_customer(*, job: Job, actor: Person, kind: str, words: str = "") -> CustomerAsk:
    """Asks for a picture on the customer's page."""
    with recording(job, actor, OFFICE) as book:
        if kind not in Evidence.Kind.values:
            book.findings.add("kind", "Choose what the picture should show.")
        elif kind == Evidence.Kind.OTHER:
            book.findings.need("words", words, "Say what the picture should show.")
        if len(words.strip()) > 200:
            book.findings.add("words", "At most 200 characters.")
        asked = CustomerAsk.objects.filter(job=job, closed_at=None)
        if kind != Evidence.Kind.OTHER and asked.filter(kind=kind).exists():
            book.findings.add("kind", "The customer is asked for this already.")
        if asked.count() >= MOST_ASKS:
            book.findings.add("", f"{MOST_ASKS} things are asked for already; take one back first.")
        book.findings.refuse()
        ask = CustomerAsk.objects.create(job=job, kind=kind, words=words.strip(), asked_by=actor)
        book.write("customer_asked", photo=kind, ask=ask.pk)
    return ask


def close_ask(*, ask: CustomerAsk, actor: Person) -> None:
    """The picture is no longer asked for; what was sent and not decided on yet goes with it."""
    job = ask.job
    with recording(job, actor, OFFICE) as book:
        if ask.uploads.filter(decided_at=None).exists():
            book.findings.add("", "A picture came for it: accept it, or say why it isn't usable.")
        book.findings.refuse()
        written_once(CustomerAsk.objects.filter(pk=ask.pk, closed_at=None).update(closed_at=timezone.now()))
        book.write("customer_ask_closed", photo=ask.kind, ask=ask.pk)


def send_picture(*, ask: CustomerAsk, actor: Person | None, upload: BinaryIO | Any) -> CustomerUpload:
    """The customer (actor None) sends a picture that is asked for. The same picture again is stored once."""
    job = ask.job
    if actor is not None:
        # Somebody who works here adds photos as evidence; only the customer comes through this door.
        raise NotAllowed("Only the customer sends pictures this way; add a photo instead.")
    content, problem = pictures.reencoded(upload)
    digest = hashlib.sha256(content).hexdigest()
    with recording(job, None, OFFICE, public=True) as book:
        ask.refresh_from_db()
        if ask.closed_at is not None:
            book.findings.add("", "This picture is no longer asked for.")
        if problem:
            book.findings.add("upload", problem)
        waiting = ask.uploads.filter(decided_at=None)
        known = waiting.filter(sha256=digest).first()
        if known is None and waiting.count() >= MOST_WAITING:
            book.findings.add("upload", "Enough pictures are with us; we look at them first.")
        book.findings.refuse()
        if known is not None:
            book.unchanged()
            return known
        sent = CustomerUpload(ask=ask, sha256=digest)
        sent.file.save("picture.jpg", ContentFile(content), save=False)
        try:
            with transaction.atomic():
                sent.save()
            book.write("customer_sent", photo=ask.kind, upload=sent.pk)
        except BaseException:
            sent.file.storage.delete(sent.file.name)
            raise
    return sent


def accept_picture(*, upload: CustomerUpload, actor: Person) -> Evidence:
    """The picture becomes part of the job's evidence, and its request is answered."""
    job = upload.ask.job
    with recording(job, actor, OFFICE) as book:
        upload.refresh_from_db()
        if upload.decided_at is not None:
            book.findings.add("", "Somebody has decided on this picture already.")
        book.findings.refuse()
        now = timezone.now()
        kind, note = upload.ask.kind, "From the customer"
        photo = Evidence.objects.create(
            job=job, kind=kind, file=upload.file.name, sha256=upload.sha256, note=note, added_by=actor
        )
        undecided = CustomerUpload.objects.filter(pk=upload.pk, decided_at=None)
        written_once(undecided.update(decided_at=now, decided_by=actor, evidence=photo))
        CustomerAsk.objects.filter(pk=upload.ask_id, closed_at=None).update(closed_at=now)
        if kind in SITE_KINDS:
            assessed(job)
        book.write("customer_picture_accepted", photo=kind, evidence=photo.pk, upload=upload.pk)
    return photo


def refuse_picture(*, upload: CustomerUpload, actor: Person, reason: str) -> CustomerUpload:
    """The picture doesn't show what is needed; the customer reads why and may send another."""
    job = upload.ask.job
    with recording(job, actor, OFFICE) as book:
        upload.refresh_from_db()
        book.findings.need("reason", reason, "Say why, for the customer.")
        if len(reason.strip()) > 200:
            book.findings.add("reason", "At most 200 characters.")
        if upload.decided_at is not None:
            book.findings.add("", "Somebody has decided on this picture already.")
        book.findings.refuse()
        undecided = CustomerUpload.objects.filter(pk=upload.pk, decided_at=None)
        written_once(undecided.update(decided_at=timezone.now(), decided_by=actor, refused_because=reason.strip()))
        book.write("customer_picture_refused", photo=upload.ask.kind, upload=upload.pk, reason=reason.strip())
    upload.refresh_from_db()
    return upload
