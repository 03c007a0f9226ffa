"""The customer's one page, reached by a signed link: where it stands, what we need, what comes next, papers."""

from __future__ import annotations

from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from projects import queries
from projects.actions.standing import standing_of
from projects.models import Job, OfficeProfile, SystemKind, Warranty
from projects.route.standing_types import Standing
from projects.screens.customer import picture_words, words
from projects.screens.customer.asked import asked_of
from projects.screens.customer.drawing import day_in, drawing
from projects.screens.customer.likely import likely

FOR_CUSTOMERS = ("handover", "first_look", "checklist", "single_line")


@require_safe
@never_cache
def status(request: HttpRequest, token: str) -> HttpResponse:
    """GET changes nothing (mail scanners open links); a wrong, ended or revoked token shows nothing of any job."""
    return status_page(request, queries.customer_status(token), token)


def status_page(
    request: HttpRequest, job: Job | None, token: str, *, problems: dict[int, str] | None = None, code: int = 200
) -> HttpResponse:
    """``problems``: why a picture that was just sent can't be taken, by the request's id."""
    language = job.customer.preferred_language if job else "en"
    context = {
        "w": words.PAGE[language],
        "language": language,
        "firm": OfficeProfile.current(),
    }
    if job is None:
        # Whose link it was is not known, so neither is the language.
        context["told"] = [{"lang": key, **page} for key, page in words.PAGE.items()]
        return render(request, "customer/link_ended.html", context, status=404)
    today = timezone.localdate()
    standing = standing_of(job, today)
    asked = asked_of(job, language, problems) if not job.outcome else []
    context |= {
        "job": job,
        "standing": standing,
        "drawing": drawing(standing, language, off_grid=job.system_kind == SystemKind.OFF_GRID),
        "stages": _stages(job, standing, language),
        "steps": _customer_steps(standing, language),
        "waiting": _waiting(standing, language),
        "booked": _booked(job, today, language),
        "likely": likely(job, language, today),
        "papers": _papers(job, language),
        "warranties": _warranties(job, language),
        "token": token,
        "asked": asked,
        "p": picture_words.PAGE[language],
        "hold": _hold_words(standing, language),
    }
    response = render(request, "customer/status.html", context, status=code)
    response["Referrer-Policy"] = "no-referrer"  # the address is the key: it must not travel to other sites
    response["X-Robots-Tag"] = "noindex"
    return response


def _stages(job: Job, standing: Standing, language: str) -> list[dict]:
    """Every stage of this job's route, told as done, now or later."""
    off_grid = job.system_kind == SystemKind.OFF_GRID
    keys = list(dict.fromkeys(requirement.stage for requirement in standing.requirements))
    current = keys.index(standing.stage) if standing.stage in keys else len(keys)
    found = []
    for index, key in enumerate(keys):
        if key == "in_service" and not standing.in_service:
            continue
        state = "done" if index < current else "now" if index == current else "later"
        told = words.stage_words(key, language, off_grid=off_grid)
        now = words.FIRST_LOOK_SENT[language] if key == "lead" and _first_look_sent(standing) else told.now
        found.append({"title": told.title, "now": now, "state": state, "state_words": words.PAGE[language][state]})
    return found


def _first_look_sent(standing: Standing) -> bool:
    return any(requirement.key == "first_look" and requirement.done for requirement in standing.requirements)


def _customer_steps(standing: Standing, language: str) -> list[dict]:
    known = words.CUSTOMER_STEPS[language]
    return [
        {"text": known.get(step.key, step.sentence), "due_on": step.due_on}
        for step in standing.next_steps
        if step.party == "customer"
    ]


def _waiting(standing: Standing, language: str) -> str:
    if standing.paused:
        day = day_in(language, standing.paused.look_again_on)
        return picture_words.PAUSED[language].format(day=day)
    if not standing.waiting_on:
        return ""
    return words.WAITING[language][standing.waiting_on].format(name=standing.waiting_on_name)


def _booked(job: Job, today: date, language: str) -> list[str]:
    told = words.PAGE[language]
    rows = [("booked_visit", job.visit_on), ("booked_install", job.install_on)]
    rows += [("booked_inspection", i.booked_for) for i in job.inspections.all() if i.result == "booked"]
    return [told[key].format(day=day_in(language, day)) for key, day in rows if day and day >= today]


def _papers(job: Job, language: str) -> list[dict]:
    """The newest issue of each kind that is meant for the customer."""
    newest = {issue.kind: issue for issue in job.paper_issues.all()}
    told = words.PAGE[language]
    return [
        {
            "name": words.PAPER_NAMES[language][kind],
            "number": newest[kind].number,
            "issued": told["issued"].format(day=day_in(language, newest[kind].on)),
        }
        for kind in FOR_CUSTOMERS
        if kind in newest
    ]


def _warranties(job: Job, language: str) -> list[tuple[str, str]]:
    """What is promised and until when; empty before the warranties are registered."""
    told = words.PAGE[language]
    return [
        (
            told["workmanship"] if row.covers == Warranty.WORKMANSHIP else row.covers,
            told["until"].format(day=day_in(language, row.ends_on), year=row.ends_on.year),
        )
        for row in job.warranties.all()
    ]


def _hold_words(standing: Standing, language: str) -> str:
    """While equipment may be on the wall and must stay off, the page says so."""
    if standing.stage in ("installation", "inspection", "interconnection", "operation"):
        return words.PAGE[language]["hold"]
    return ""
