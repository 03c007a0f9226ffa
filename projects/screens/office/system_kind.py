"""Which kind of system: the recommendation with its reasons, what each kind would mean, and the office's decision."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from projects.actions import intake
from projects.actions.problems import Problems
from projects.models import Job, SystemKind
from projects.screens.access import job_or_404, office_only
from projects.screens.office.usual import must_run_words
from projects.screens.plain_form import PlainForm
from projects.screens.problems import add_problems
from projects.screens.widgets import ChoiceDots

MATTERS = (
    ("backup", "In an outage"),
    ("selling_back", "Selling back"),
    ("permits", "Permits"),
    ("licensed_trades", "Licensed trades"),
    ("warranty", "Warranty"),
    ("financing", "Financing"),
)
ORDER = (SystemKind.GRID_TIED, SystemKind.HYBRID, SystemKind.OFF_GRID)


class KindForm(PlainForm):
    kind = forms.ChoiceField(
        label="The office decides",
        choices=[(kind.value, kind.label) for kind in ORDER],
        widget=ChoiceDots,
        error_messages={"required": "Choose one of the three."},
    )
    reason = forms.CharField(
        label="Why",
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Needed where the decision differs from the recommendation.",
    )


@office_only
@require_http_methods(["GET", "POST"])
def kind(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    form = KindForm(
        request.POST or None,
        initial={"kind": job.system_kind or job.recommended_kind, "reason": job.kind_reason},
    )
    if request.method == "POST" and form.is_valid():
        try:
            intake.decide_system_type(job=job, actor=request.user, **form.cleaned_data)
        except Problems as problems:
            add_problems(form, problems)
        else:
            words = SystemKind(form.cleaned_data["kind"]).label.lower()
            messages.success(request, f"Decided: {words}. The route of this job follows from it.")
            return redirect("job", number=job.number)
    context = {"nav": "jobs", "job": job, "form": form, **_columns(job)}
    return render(request, "office/lead_kind.html", context, status=422 if form.errors else 200)


def _columns(job: Job) -> dict[str, Any]:
    answers = getattr(job, "answers", None)
    meanings = job.recommendation.get("meanings", {})
    return {
        "answers": answers,
        "must_run": must_run_words(answers.must_run) if answers else [],
        "reasons": job.recommendation.get("reasons", []),
        "kinds": [
            {
                "key": kind.value,
                "label": kind.label,
                "recommended": kind == job.recommended_kind,
                "decided": kind == job.system_kind,
            }
            for kind in ORDER
        ],
        "rows": [
            (title, [meanings.get(kind.value, {}).get(matter, "") for kind in ORDER]) for matter, title in MATTERS
        ],
        "known": bool(meanings),
    }
