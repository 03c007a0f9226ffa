"""What the office does now: every matter that asks for somebody, in the order of ``projects.route.consequence``.

Reads the cached standings of all jobs as plain columns, a few indexed queries beside them, and the full facts of the
few jobs that are shown: the number of queries is constant.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Case, Exists, F, OuterRef, When
from django.utils.timezone import localdate

from projects.actions.facts import facts_of_many
from projects.actions.findings import today as office_today
from projects.actions.holidays import public_holidays
from projects.actions.standing import turn_day
from projects.models import (
    CustomerUpload,
    Inspection,
    Insurance,
    Job,
    JurisdictionClosure,
    Licence,
    PaperIssue,
    Permit,
    PermitSubmission,
    Snooze,
    Stage,
    UtilityRequest,
)
from projects.route.business_days import add_business_days
from projects.route.consequence import (
    FIRST_LOOK_HOURS,
    LICENCE_WARNING_DAYS,
    PERMIT_WARNING_DAYS,
    TITLES,
    Kind,
    can_be_put_off,
    order,
    warning,
)
from projects.route.facts import JobFacts
from projects.route.pauses import LOOK_AGAIN
from projects.route.standing import standing
from projects.route.standing_types import RequirementStanding

SHOWN = {1: 8, 2: 6, 3: 6, 4: 6, 5: 4, 6: 4}
SHOWN_OF_ONE = 60
OURS = ("office", "contractor", "electrician")
"""The office records the licence holders' reviews, so they are its business too."""
BEFORE_FIRST_LOOK = ("contact", "answers", "system_type", "first_look")
BOOKINGS = ("rough_in_booked", "final_booked")
UNDER_PERMIT = (Stage.PERMITS, Stage.INSTALLATION, Stage.INSPECTION)
RESULT_OF = {"rough_in": "rough_in", "final": "final_passed"}


@dataclass(slots=True)
class Matter:
    """Not frozen: there are as many as open jobs, and a frozen one takes three times as long to make."""

    kind: Kind
    key: str
    level: int
    order: tuple[int, date, int]
    due: date | None
    job_id: int | None = None
    licence: Licence | None = None
    insurance: Insurance | None = None
    warning: int = 0
    """Of an expiry: which of its warnings this is, in days ahead."""
    permit: Permit | None = None
    deadline: datetime | None = None
    """First looks: to the minute."""

    @property
    def needs_facts(self) -> bool:
        return self.kind in ("answer", "ask", "permit_expiry") or self.key.startswith("permit")

    @property
    def can_be_put_off(self) -> bool:
        return self.job_id is not None and can_be_put_off(self.level)


@dataclass(frozen=True)
class DeskLine:
    """A matter with what the page says about it."""

    matter: Matter
    job: Job | None
    facts: JobFacts | None
    requirement: RequirementStanding | None
    """Where the matter is an open requirement of the job whose detail counts; a plain step needs the job alone."""


@dataclass(frozen=True)
class Section:
    level: int
    lines: tuple[DeskLine, ...]
    total: int

    @property
    def title(self) -> str:
        return TITLES[self.level]

    @property
    def more(self) -> int:
        return self.total - len(self.lines)


MOST_PUT_OFF = 50


@dataclass(frozen=True)
class Desk:
    today: date
    sections: tuple[Section, ...]
    put_off: tuple[Snooze, ...]
    total: int
    jobs: dict[int, Job] = field(default_factory=dict)

    @property
    def first(self) -> DeskLine | None:
        return self.sections[0].lines[0] if self.sections else None


def desk(*, assigned_to: int | None = None, only: int | None = None, today: date | None = None) -> Desk:
    """``assigned_to``: only the jobs that this person looks after, and the licences. ``only``: more of that level."""
    turn_day()
    today = today or office_today()
    rows = _open_jobs(assigned_to)
    # Whether a job is open is looked at here: asked in the query, it would begin with all open jobs.
    waiting = Snooze.objects.filter(ended_at=None, until__gt=today).select_related("job__customer", "put_off_by")
    if assigned_to:
        waiting = waiting.filter(job__in=[*rows])
    put_off = [row for row in waiting[: 2 * MOST_PUT_OFF] if row.job.outcome == Job.Outcome.OPEN][:MOST_PUT_OFF]
    resting = {(row.job_id, row.key) for row in put_off}
    matters = sorted(
        (
            matter
            for matter in _matters(rows, today)
            if not ((matter.job_id, matter.key) in resting and matter.can_be_put_off)
        ),
        key=lambda matter: matter.order,
    )
    by_level: dict[int, list[Matter]] = defaultdict(list)
    for matter in matters:
        by_level[matter.level].append(matter)
    shown = {
        number: found[: SHOWN[number] if only is None else SHOWN_OF_ONE]
        for number, found in sorted(by_level.items())
        if only in (None, number)
    }
    jobs, facts, requirements = _in_full([matter for found in shown.values() for matter in found], today)
    sections = tuple(
        Section(
            number,
            tuple(
                DeskLine(
                    matter,
                    jobs.get(matter.job_id or 0),
                    facts.get(matter.job_id or 0),
                    requirements.get((matter.job_id or 0, matter.key)),
                )
                for matter in found
            ),
            len(by_level[number]),
        )
        for number, found in shown.items()
    )
    return Desk(today, sections, tuple(put_off), len(matters), jobs)


Row = dict[str, Any]


def _open_jobs(assigned_to: int | None) -> dict[int, Row]:
    jobs = Job.objects.filter(outcome=Job.Outcome.OPEN).exclude(next_key="").order_by()
    if assigned_to is not None:
        jobs = jobs.filter(assigned_to=assigned_to)
    # To the minute only where the minute counts: turning texts into moments takes longer than all else here.
    since = Case(When(stage=Stage.LEAD, then=F("received_at")))
    columns = ("id", "number", "stage", "next_key", "waiting_on", "due_on")
    named = (*columns, "received_at")
    return {row[0]: dict(zip(named, row, strict=True)) for row in jobs.values_list(*columns, since)}


def _in_full(
    matters: Iterable[Matter], today: date
) -> tuple[dict[int, Job], dict[int, JobFacts], dict[tuple[int, str], RequirementStanding]]:
    """All jobs shown; facts and open requirements of those where an authority said or is doing something."""
    ids = {
        matter.job_id: matter.needs_facts for matter in sorted(matters, key=lambda m: m.needs_facts) if matter.job_id
    }
    jobs = Job.objects.select_related("customer", "site", "assigned_to", "jurisdiction", "utility").in_bulk(list(ids))
    facts = facts_of_many([job for job in jobs.values() if ids[job.pk]], today)
    open_ones = {
        (job_id, requirement.key): requirement
        for job_id, known in facts.items()
        for requirement in standing(known).next_steps
    }
    return jobs, facts, open_ones


def _matters(rows: dict[int, Row], today: date) -> Iterator[Matter]:
    told: set[tuple[int, str]] = set()
    calendars = Calendars(today)

    def matter(kind: Kind, key: str, due: date | None, row: Row, **more: Any) -> Matter:
        told.add((row["id"], key))
        place = order(kind, due, today, row["number"])
        return Matter(kind, key, place[0], place, due, row["id"], **more)

    for found in (
        _expiring(rows, today),
        _corrections(rows, calendars),
        _requests(rows, calendars),
        _results(rows, today),
        _pictures(rows),
    ):
        for kind, key, due, row, more in found:
            yield matter(kind, key, due, row, **more)
    yield from _licences(today)
    yield from _insurance(today)
    sent = _first_look_sent()
    for job_id, row in rows.items():
        key, due = row["next_key"], row["due_on"]
        if (job_id, key) in told or (key == "permits_hold"):
            continue
        if key == LOOK_AGAIN:
            # A paused job leaves the desk until its day.
            if due and due <= today:
                yield matter("look_again", key, due, row)
            continue
        if key == "service_visit":
            if due and due <= today:
                yield matter("step", key, due, row)
            continue
        if key in BEFORE_FIRST_LOOK and row["stage"] == Stage.LEAD and job_id not in sent:
            deadline = row["received_at"] + timedelta(hours=FIRST_LOOK_HOURS)
            if due and due > localdate(deadline):
                deadline += timedelta(days=(due - localdate(deadline)).days)  # the job rested meanwhile
            yield matter("first_look", key, deadline.date(), row, deadline=deadline)
        elif key in BOOKINGS:
            yield matter("answer", key, due, row)
        elif row["waiting_on"] in OURS:
            yield matter("step", key, due, row)
        elif due and due < today and row["waiting_on"] != "crew":
            yield matter("call" if row["waiting_on"] == "customer" else "ask", key, due, row)


Found = Iterator[tuple[Kind, str, date | None, Row, dict[str, Any]]]


def _first_look_sent() -> set[int]:
    """Leads that have theirs although their next step is one of those before it."""
    leads = PaperIssue.objects.filter(
        kind="first_look",
        job__outcome=Job.Outcome.OPEN,
        job__next_key__in=BEFORE_FIRST_LOOK,
        job__stage=Stage.LEAD,
    )
    return set(leads.values_list("job_id", flat=True))


def _expiring(rows: dict[int, Row], today: date) -> Found:
    """Permits of unfinished work: warned of ahead, and once expired named by the route's own requirement."""
    passed = Inspection.objects.filter(job=OuterRef("job"), kind="final", result="passed")
    near = Permit.objects.filter(
        expires_on__lte=today + timedelta(days=max(PERMIT_WARNING_DAYS)),
        job__outcome=Job.Outcome.OPEN,
        job__stage__in=UNDER_PERMIT,
        voided_on=None,
    ).exclude(issued_on=None)
    for permit in near.exclude(Exists(passed)):
        row = rows.get(permit.job_id)
        if row is not None and permit.expires_on is not None:
            what = "renewal" if permit.expires_on < today else "expiry"
            yield "permit_expiry", f"permit_{permit.kind}_{what}", permit.expires_on, row, {"permit": permit}


def _corrections(rows: dict[int, Row], calendars: Calendars) -> Found:
    later = PermitSubmission.objects.filter(permit=OuterRef("permit"), round__gt=OuterRef("round"))
    asked = (
        PermitSubmission.objects.filter(
            outcome="corrections", permit__job__outcome=Job.Outcome.OPEN, permit__voided_on=None
        )
        .exclude(Exists(later))
        .values_list(
            "permit__job",
            "permit__kind",
            "outcome_on",
            "permit__job__jurisdiction",
            "permit__job__jurisdiction__state",
            "permit__job__jurisdiction__answer_days",
        )
    )
    for job_id, kind, on, jurisdiction, state, days in asked:
        if job_id in rows:
            due = calendars.after(on, days if days is not None else 5, jurisdiction, state)
            yield "answer", f"permit_{kind}_corrections", due, rows[job_id], {}


def _requests(rows: dict[int, Row], calendars: Calendars) -> Found:
    asked = (
        UtilityRequest.objects.filter(answered_on=None, interconnection__job__outcome=Job.Outcome.OPEN)
        .order_by("asked_on")
        .values_list(
            "interconnection__job",
            "asked_on",
            "interconnection__job__utility__answer_days",
            "interconnection__job__site__state",
        )
    )
    seen = set()
    for job_id, on, days, state in asked:
        if job_id in rows and job_id not in seen:
            seen.add(job_id)
            due = calendars.after(on, days if days is not None else 5, None, state)
            yield "answer", "utility_requests", due, rows[job_id], {}


def _results(rows: dict[int, Row], today: date) -> Found:
    """The inspection's day is over and nobody has said how it went."""
    over = Inspection.objects.filter(result="booked", booked_for__lt=today, job__outcome=Job.Outcome.OPEN)
    for job_id, kind, day in over.values_list("job", "kind", "booked_for"):
        if job_id in rows:
            yield "answer", RESULT_OF[kind], day, rows[job_id], {}


def _pictures(rows: dict[int, Row]) -> Found:
    """What customers sent waits for a look, a day at most: the household wonders whether it came."""
    sent = CustomerUpload.objects.filter(decided_at=None, ask__job__outcome=Job.Outcome.OPEN).order_by("sent_at")
    seen = set()
    for job_id, at in sent.values_list("ask__job", "sent_at"):
        if job_id in rows and job_id not in seen:
            seen.add(job_id)
            yield "step", "customer_picture", localdate(at) + timedelta(days=1), rows[job_id], {}


def _licences(today: date) -> Iterator[Matter]:
    last = today + timedelta(days=max(LICENCE_WARNING_DAYS))
    for licence in Licence.objects.filter(expires_on__lte=last, holder__is_active=True).select_related("holder"):
        left = (licence.expires_on - today).days
        if (near := warning(left, LICENCE_WARNING_DAYS)) is not None:
            place = order("licence_expiry", licence.expires_on, today, 0)
            key = f"licence_{licence.pk}_{near}"
            yield Matter("licence_expiry", key, place[0], place, licence.expires_on, licence=licence, warning=near)


def _insurance(today: date) -> Iterator[Matter]:
    """The cover of each kind that ends last: an old policy that another one has followed is nobody's matter."""
    latest: dict[str, Insurance] = {}
    for policy in Insurance.objects.order_by("expires_on"):
        latest[policy.kind] = policy
    for policy in latest.values():
        if (near := warning((policy.expires_on - today).days, LICENCE_WARNING_DAYS)) is not None:
            place = order("insurance_expiry", policy.expires_on, today, 0)
            key = f"insurance_{policy.pk}_{near}"
            yield Matter("insurance_expiry", key, place[0], place, policy.expires_on, insurance=policy, warning=near)


class Calendars:
    """Business days as each jurisdiction counts them; its closures are read once for all, when first asked."""

    def __init__(self, today: date) -> None:
        self.today = today
        self.closures: dict[int, set[date]] | None = None

    def after(self, start: date | None, days: int, jurisdiction: int | None, state: str | None) -> date | None:
        if start is None:
            return None
        if self.closures is None:
            self.closures = defaultdict(set)
            for row in JurisdictionClosure.objects.all():
                self.closures[row.jurisdiction_id].add(row.on)
        public = public_holidays(state or "", start.year, self.today.year + 2)
        return add_business_days(start, days, public | self.closures.get(jurisdiction or 0, set()))
