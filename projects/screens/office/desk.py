"""The office's first page: what to do now, in the order of what happens if nobody does it, each one click away."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.contrib import messages
from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from projects import queries
from projects.actions import snoozing
from projects.actions.problems import Problems
from projects.models import Inspection, Interconnection, Job, Permit, PermitSubmission, Person
from projects.queries.desk import Desk, DeskLine, Matter
from projects.route.consequence import TITLES
from projects.route.marks import MARKS
from projects.route.requirements import MARK_OF_REQUIREMENT
from projects.route.words import within_sentence
from projects.screens.access import job_or_404, office_only
from projects.screens.office.setting_up import to_tell
from projects.screens.office.steps import RECORDED_BY, Act, Finder, Rounds, nothing
from projects.screens.office.tables import day, due_words
from projects.screens.tasks import task

WARNING_VERBS = {60: "Prepare the renewal of", 30: "Send in the renewal of", 7: "Renew"}
WARNING_WORDS = {
    60: "Gather what the renewal asks for",
    30: "The renewal should be on its way by now",
    7: "After that day no permit can be submitted under it",
}
"""Three warnings, each nearer and plainer."""
WHO = {"all": "Everybody's", "me": "Mine"}


@dataclass(frozen=True)
class Row:
    """One matter as the desk shows it."""

    job: Job | None
    task: str
    detail: str
    due: str
    late: bool
    act: Act | None
    beside: tuple[Act, ...] = ()
    """Handing it to somebody, and putting it off."""
    look: str = ""


@office_only
@require_safe
def desk(request: HttpRequest) -> HttpResponse:
    person = request.user
    assert isinstance(person, Person)
    who = request.GET.get("who") if request.GET.get("who") in WHO else "all"
    asked = request.GET.get("level", "")
    only = int(asked) if asked in map(str, TITLES) else None
    found = queries.desk(assigned_to=person.pk if who == "me" else None, only=only)
    rounds = rounds_of(found)
    now = timezone.now()
    sections = [
        {
            "title": section.title,
            "level": section.level,
            "total": section.total,
            "more": section.more,
            "rows": [row(line, person, rounds, found.today, now) for line in section.lines],
        }
        for section in found.sections
    ]
    if sections:
        sections[0]["rows"][0] = replace(sections[0]["rows"][0], look="go")
    any_jobs = bool(found.total or found.put_off) or Job.objects.exists()
    context = {
        "nav": "desk",
        "sections": sections,
        "total": found.total,
        "put_off": [(snooze, task(snooze.key, "") or expiry_words(snooze.key)) for snooze in found.put_off],
        "who": who,
        "only": only,
        "choices": [(key, words, f"{reverse('desk')}?who={key}" if key != "all" else reverse("desk"))
                    for key, words in WHO.items()],
        "today": found.today,
        "any_jobs": any_jobs,
        "to_tell": [] if only else to_tell(person, any_jobs=any_jobs),
    }  # fmt: skip
    return render(request, "office/desk.html", context)


@office_only
@require_POST
def back(request: HttpRequest, number: int, key: str) -> HttpResponse:
    """Takes a putting-off back."""
    job = job_or_404(request, number)
    try:
        snoozing.end_snooze(job=job, key=key, actor=request.user)
    except Problems as problems:
        messages.error(request, str(problems))
    else:
        messages.success(request, "It is on the desk again.")
    return redirect("desk")


def rounds_of(found: Desk) -> dict[int, Rounds]:
    """Permits, inspections and utility requests that buttons point at; each kind is read where a matter is about it."""
    lines = [line for section in found.sections for line in section.lines if line.job]
    rounds: dict[int, Rounds] = defaultdict(Rounds)

    def about(*starts: str) -> list[Job]:
        return [line.job for line in lines if line.job and line.matter.key.startswith(starts)]

    if jobs := about("permit"):
        submissions = PermitSubmission.objects.defer("design_frozen").prefetch_related("comments")
        live = Permit.objects.filter(job__in=jobs, voided_on=None)
        for permit in live.prefetch_related(Prefetch("submissions", submissions)):
            rounds[permit.job_id].permits[permit.kind] = permit
    if jobs := about("rough_in", "final_"):
        for inspection in Inspection.objects.filter(job__in=jobs).prefetch_related("corrections"):
            rounds[inspection.job_id].inspections.append(inspection)
    if jobs := about("utility_requests"):
        for connection in Interconnection.objects.filter(job__in=jobs).prefetch_related("requests"):
            rounds[connection.job_id].interconnection = connection
            rounds[connection.job_id].requests = list(connection.requests.all())
    return rounds


def row(line: DeskLine, person: Person, rounds: dict[int, Rounds], today: date, now: datetime) -> Row:
    matter = line.matter
    if matter.licence is not None:
        return licence_row(matter, today)
    if matter.insurance is not None:
        return insurance_row(matter, today)
    assert line.job is not None
    job = line.job
    finder = Finder(job, person, rounds[job.pk])
    due, late = deadline_words(matter, today, now)
    offered = [finder.form("Assign", "assigned")]
    if matter.kind == "look_again":
        offered.append(finder.form("Rest longer", "pause-moved"))
    elif matter.can_be_put_off:
        offered.append(finder.form("Put off", "put-off", matter.key))
    beside = tuple(act for act in map(from_desk, offered) if act)
    if line.requirement is None and matter.permit is not None:
        # Not an open requirement yet: a permit that runs out while the work goes on.
        words = f"Extend the {matter.permit.get_kind_display().lower()}"
        expires = f"expires {day(matter.permit.expires_on, today)}"
        renewed = from_desk(finder.form("Renewed", "permit-renewed", matter.permit.kind))
        return Row(job, words, f"Work stops when it {expires}", due, late, renewed, beside)
    if line.requirement is None or line.facts is None:
        what, who, detail, act = task(matter.key, job.next_step), job.waiting_on_name, "", act_of(finder, matter.key)
    else:
        step = finder.step(line.requirement, line.facts)
        what, who, act = step.task, step.who, step.act
        detail = f"“{step.words}”" if step.words else line.requirement.detail
    if matter.kind == "call":
        what, detail = f"Call the customer: {within_sentence(what)}", job.customer.phone or job.customer.email
    elif matter.kind == "ask":
        what = f"Ask {who}: {within_sentence(what)}"
    elif matter.kind == "first_look" and matter.key != "first_look":
        detail = "The first-look report waits for it"
    return Row(job, what, detail, due, late, from_desk(act), beside)


def act_of(finder: Finder, key: str) -> Act | None:
    """The button that records a plain step."""
    mark = MARK_OF_REQUIREMENT.get(key, "")
    if mark in MARKS and key not in RECORDED_BY:
        return finder.form(MARKS[mark].verb, "mark", mark)
    return RECORDED_BY.get(key, nothing)(finder)[0]


def licence_row(matter: Matter, today: date) -> Row:
    licence = matter.licence
    assert licence is not None
    expired = licence.expires_on < today
    what = f"{licence.holder.name}'s {licence.get_trade_display().lower()} licence {licence.number}"
    return Row(
        None,
        f"{WARNING_VERBS[matter.warning]} {what}",
        "No permit can be submitted under it" if expired else WARNING_WORDS[matter.warning],
        days_words(licence.expires_on, today),
        expired,
        Act("Renewed", reverse("office-edit", args=["licences", licence.pk])),
    )


def insurance_row(matter: Matter, today: date) -> Row:
    policy = matter.insurance
    assert policy is not None
    expired = policy.expires_on < today
    what = f"the {policy.get_kind_display().lower()} insurance {policy.number}"
    return Row(
        None,
        f"{WARNING_VERBS[matter.warning]} {what}",
        "No permit can be submitted without it" if expired else WARNING_WORDS[matter.warning],
        days_words(policy.expires_on, today),
        expired,
        Act("Renewed", reverse("office-new", args=["insurance"])),
    )


def deadline_words(matter: Matter, today: date, now: datetime) -> tuple[str, bool]:
    if matter.deadline is not None:
        return clock_words(matter.deadline, now)
    if matter.due is None:
        return "", False
    if matter.kind == "permit_expiry":
        return days_words(matter.due, today), matter.due < today
    return due_words(matter.due, today), matter.due < today


def clock_words(deadline: datetime, now: datetime) -> tuple[str, bool]:
    """ "5 h left", "40 min left", "2 h over"; whole hours, rounded down."""
    minutes = int(abs((deadline - now).total_seconds()) // 60)
    amount = (
        f"{minutes} min" if minutes < 60 else f"{minutes // 60} h" if minutes < 72 * 60 else f"{minutes // 1440} days"
    )
    late = now > deadline
    return f"{amount} {'over' if late else 'left'}", late


def days_words(on: date, today: date) -> str:
    """ "expired 3 days ago", "today", "12 days left"."""
    left = (on - today).days
    if left < 0:
        return f"expired {-left} day{'' if left == -1 else 's'} ago"
    return "today" if left == 0 else f"{left} day{'' if left == 1 else 's'} left"


def expiry_words(key: str) -> str:
    return f"Extend the {key.removeprefix('permit_').removesuffix('_expiry')} permit"


def from_desk(act: Act | None) -> Act | None:
    """Its form, where it opens on a page of its own, leads back here."""
    return replace(act, address=f"{act.address}?from=desk") if act and act.in_place else act
