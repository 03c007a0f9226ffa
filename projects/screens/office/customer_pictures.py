"""What the customer is asked to send: on the job page, and the pictures that came."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from projects.models import CustomerAsk, CustomerUpload, Job
from projects.screens.access import job_or_404, office_only
from projects.screens.office.steps import Act, Finder


@dataclass(frozen=True)
class SentLine:
    upload: CustomerUpload
    acts: tuple[Act, ...]


@dataclass(frozen=True)
class AskLine:
    ask: CustomerAsk
    sent: tuple[SentLine, ...]
    close: Act | None


def asks_of(job: Job, finder: Finder) -> list[AskLine]:
    """Open requests with what came for them, oldest first."""
    asks = CustomerAsk.objects.filter(job=job, closed_at=None).prefetch_related("uploads")
    return [_line(ask, finder) for ask in asks]


def _line(ask: CustomerAsk, finder: Finder) -> AskLine:
    sent = [upload for upload in ask.uploads.all() if upload.decided_at is None]
    lines = []
    for upload in sent:
        acts = (
            finder.form("Accept", "picture-accepted", upload.pk),
            finder.form("Not usable", "picture-refused", upload.pk),
        )
        lines.append(SentLine(upload, tuple(act for act in acts if act)))
    return AskLine(ask, tuple(lines), None if sent else finder.form("Take back", "ask-closed", ask.pk))


@office_only
@require_GET
def sent_picture(request: HttpRequest, pk: int) -> HttpResponse:
    """The bytes of a picture that a customer sent: our own JPEG, and never run as a page."""
    upload = get_object_or_404(CustomerUpload.objects.select_related("ask__job"), pk=pk)
    job_or_404(request, upload.ask.job.number)
    try:
        response = FileResponse(upload.file.open("rb"), content_type="image/jpeg")
    except FileNotFoundError:
        raise Http404("The file of this picture is missing.") from None
    response["Content-Security-Policy"] = "default-src 'none'; sandbox"
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, max-age=3600"
    return response
