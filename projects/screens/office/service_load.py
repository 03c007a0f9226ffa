"""Whether the service can carry the dwelling: both methods of the code, from nameplates typed here and kept nowhere."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from projects.models import Job
from projects.screens.access import crew_or_office, job_or_404
from projects.screens.office.forms_service_load import ServiceLoadForm
from projects.studies.service_load import nameplates_of, service_loads


@crew_or_office
@require_GET
def service_load(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    asked = "floor_area_ft2" in request.GET
    form = ServiceLoadForm(request.GET if asked else None, initial=_initial(job))
    answer = service_loads(**form.dwelling()) if asked and form.is_valid() else None
    rating_a = job.site.service_rating_a
    context = {
        "nav": "crew" if request.user.is_crew else "jobs",
        "job": job,
        "form": form,
        "answer": answer,
        "methods": [("Optional method", answer.optional), ("Standard method", answer.standard)] if answer else [],
        "rating_a": rating_a,
        "carried": bool(answer and rating_a and min(answer.optional.current_a, answer.standard.current_a) <= rating_a),
    }
    return render(request, "office/service_load.html", context, status=422 if asked and form.errors else 200)


def _initial(job: Job) -> dict[str, Any]:
    plates = nameplates_of(job)
    fixed = "\n".join(f"{name} {va:.0f}" for name, va in plates["fixed"])
    return {"fixed": fixed, "heat_va": plates["heat_va"] or None, "cooling_va": plates["cooling_va"] or None}
