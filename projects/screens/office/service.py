"""A job's service page: claims, visits, and the months' production beside what the study expects."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from projects.models import Person, ServiceVisit, Warranty, WarrantyClaim
from projects.queries.service import MonthLine, production
from projects.screens.access import job_or_404, signed_in
from projects.screens.office.reviews import given
from projects.screens.office.steps import Act, Finder, Rounds


@dataclass(frozen=True)
class VisitLine:
    visit: ServiceVisit
    acts: tuple[Act, ...]


@dataclass(frozen=True)
class ClaimLine:
    claim: WarrantyClaim
    visits: tuple[VisitLine, ...]
    acts: tuple[Act, ...]


@signed_in
@require_safe
def service(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    person = request.user
    assert isinstance(person, Person)
    finder = Finder(job, person, Rounds())
    made = production(job, timezone.localdate())
    warranties = list(Warranty.objects.filter(job=job))
    visits = list(ServiceVisit.objects.filter(job=job).select_related("planned_by", "done_by", "crew"))
    claims = WarrantyClaim.objects.filter(job=job).select_related("warranty", "taken_by", "settled_by")
    running = not job.outcome
    context = {
        "nav": "jobs",
        "job": job,
        "warranties": warranties,
        "claims": [_claim(claim, visits, finder, running) for claim in reversed(claims)],
        "looks": [_visit(visit, finder, running) for visit in reversed(visits) if visit.claim_id is None],
        "new_claim": finder.form("Take down a claim", "claim") if warranties and running else None,
        "new_visit": finder.form("Plan a visit", "service-visit") if running else None,
        "production": made,
        "months": [(line, _reading(line, finder) if running else None) for line in made.lines],
        "today": timezone.localdate(),
    }
    return render(request, "office/service.html", context)


def _claim(claim: WarrantyClaim, visits: list[ServiceVisit], finder: Finder, running: bool) -> ClaimLine:
    own = [visit for visit in visits if visit.claim_id == claim.pk]
    acts: tuple[Act, ...] = ()
    if claim.settled_on is None and running:
        planned = any(visit.done_on is None and visit.cancelled_on is None for visit in own)
        acts = given(
            None if planned else finder.form("Plan a visit", "service-visit", claim.pk),
            finder.form("Settle it", "claim-settled", claim.pk),
        )
    return ClaimLine(claim, tuple(_visit(visit, finder, running) for visit in own), acts)


def _visit(visit: ServiceVisit, finder: Finder, running: bool) -> VisitLine:
    if visit.done_on or visit.cancelled_on or not running:
        return VisitLine(visit, ())
    return VisitLine(
        visit,
        given(
            finder.form("Made", "service-visit-made", visit.pk),
            finder.form("Move", "service-visit-moved", visit.pk),
            finder.form("Cancel", "service-visit-cancelled", visit.pk),
        ),
    )


def _reading(line: MonthLine, finder: Finder) -> Act | None:
    return finder.form("Correct" if line.read_kwh is not None else "Enter", "reading", f"{line.year}-{line.month:02}")
