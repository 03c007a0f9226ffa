"""The customer sends a picture that the office asked for."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from projects import queries
from projects.actions.customer_pictures import send_picture
from projects.actions.office import hash_of
from projects.actions.problems import Problems
from projects.models import CustomerAsk
from projects.screens.customer import picture_words, status
from projects.screens.rate import counted

PICTURES_PER_HOUR = 20
"""Of one link: a household photographs its panel in a few minutes, a robot doesn't stop there."""


@require_POST
@never_cache
def send(request: HttpRequest, token: str, pk: int) -> HttpResponse:
    """An unknown link, or a request of another job, is as unknown as one that never was."""
    job = queries.customer_status(token)
    if job is None:
        return status.status_page(request, None, token)
    language = job.customer.preferred_language
    told = picture_words.PAGE[language]
    ask = CustomerAsk.objects.filter(pk=pk, job=job, closed_at=None).select_related("job").first()
    if ask is None or job.outcome:
        return redirect("status", token=token)
    upload = request.FILES.get("picture")
    if counted(f"sent:{hash_of(token)}") > PICTURES_PER_HOUR:
        problem, code = told["too_many"], 429
    elif upload is None:
        problem, code = told["none"], 422
    else:
        try:
            send_picture(ask=ask, actor=None, upload=upload)
        except Problems as found:
            problem, code = told["full" if "Enough" in str(found) else "unreadable"], 422
        else:
            return redirect(f"{reverse('status', args=[token])}#sent-{ask.pk}")
    return status.status_page(request, job, token, problems={ask.pk: problem}, code=code)
