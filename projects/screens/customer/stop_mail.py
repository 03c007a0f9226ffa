"""Where a customer ends the e-mail about their job: a signed address, a page with one button, no sign-in.

GET changes nothing, since mail scanners open links; POST is what the button and a mail program's own "unsubscribe"
(RFC 8058) do, the latter without a page and so without a form's token.
"""

from __future__ import annotations

from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods

from projects.actions import mailing
from projects.mail.letters import STOP_SALT
from projects.mail.words import STOP_PAGE
from projects.models import Job, OfficeProfile


@csrf_exempt
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def stop(request: HttpRequest, token: str) -> HttpResponse:
    job = _job(token)
    language = job.customer.preferred_language if job else "en"
    context = {"language": language, "w": STOP_PAGE[language], "firm": OfficeProfile.current(), "wrong": job is None}
    if job is not None and request.method == "POST":
        mailing.set_email_updates(job=job, actor=None, wanted=False)
    context["done"] = job is not None and not job.customer.email_updates
    response = render(request, "customer/stop_mail.html", context, status=404 if job is None else 200)
    response["Referrer-Policy"] = "no-referrer"
    response["X-Robots-Tag"] = "noindex"
    return response


def _job(token: str) -> Job | None:
    try:
        pk = signing.loads(token, salt=STOP_SALT)
    except signing.BadSignature:
        return None
    return Job.objects.select_related("customer").filter(pk=pk).first()
