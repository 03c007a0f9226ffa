"""What customers were told by e-mail: all of it, and one job's, with what failed and what can be done about it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from projects.actions import mailing
from projects.actions.problems import Problems
from projects.mail import words
from projects.models import Message
from projects.queries import messages as queries
from projects.screens.access import job_or_404, office_only

KINDS = {
    "appointment": "A day",
    "permission": "Permission to operate",
    "stage": "A new stage",
    "need": "Something needed",
    "asked": "A picture asked for",
}
SYMBOL = {"sent": "closed", "queued": "dotted", "sending": "dotted", "failed": "open", "stopped": "waived"}


def lines(rows: list[Message]) -> list[dict]:
    return [
        {
            "row": row,
            "kind": KINDS.get(row.kind, row.kind),
            "about": row.subject or _about(row),
            "symbol": SYMBOL.get(row.status, "waived"),
            "can_act": row.status in mailing.OPEN,
        }
        for row in rows
    ]


def _about(row: Message) -> str:
    """What a letter that was never written is about."""
    if row.kind == "appointment":
        return words.APPOINTMENTS["en"][row.data["appointment"]]
    return KINDS.get(row.kind, row.kind)


@office_only
@require_safe
def outbox(request: HttpRequest) -> HttpResponse:
    status = request.GET.get("status", "")
    counts = queries.outbox_counts()
    choices = [("", "All", sum(counts.values()))]
    choices += [(key, label, counts.get(key, 0)) for key, label in Message.Status.choices if counts.get(key)]
    context = {
        "nav": "calendar",
        "lines": lines(list(queries.outbox_rows(status)[: queries.SHOWN])),
        "choices": choices,
        "status": status,
        "failed": counts.get(Message.Status.FAILED, 0),
    }
    return render(request, "office/messages.html", context)


@office_only
@require_safe
def of_job(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    context = {"nav": "jobs", "here": "messages", "job": job, "lines": lines(queries.letters_of(job))}
    return render(request, "office/job_messages.html", context)


@office_only
@require_POST
def choose(request: HttpRequest, number: int) -> HttpResponse:
    """Whether this customer is written to."""
    job = job_or_404(request, number)
    wanted = request.POST.get("wanted") == "yes"
    try:
        mailing.set_email_updates(job=job, actor=request.user, wanted=wanted)
    except Problems as problems:
        messages.error(request, str(problems))
    else:
        said = "They are written to when the job moves." if wanted else "They get no more e-mail from the job book."
        messages.success(request, said)
    return redirect("job-messages", number)


@office_only
@require_POST
def act(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(Message.objects.exclude(job=None).select_related("job__customer"), pk=pk)
    try:
        if request.POST.get("do") == "stop":
            mailing.stop_message(actor=request.user, message=row)
            messages.success(request, "It won't be sent.")
        else:
            mailing.send_again(actor=request.user, message=row)
            messages.success(request, "It is on its way again.")
    except Problems as problems:
        messages.error(request, str(problems))
    back = request.POST.get("back", "")
    if url_has_allowed_host_and_scheme(back, allowed_hosts={request.get_host()}):
        return redirect(back)
    return redirect("messages")
