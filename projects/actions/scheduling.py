"""Days and crews: an appointment is set, moved, called off, and the last change taken back.

A day that the route doesn't allow to be booked yet (an installation before its permits are issued) is kept as planned:
the route knows nothing of it, and the page says what must be true by then.
"""

from __future__ import annotations

from datetime import date, time

from projects.actions.appointment_days import FREE, State, changed, state, write_state
from projects.actions.engagements import crew_week, current, engagements, run_of
from projects.actions.facts import facts_of
from projects.actions.findings import Findings
from projects.actions.findings import today as office_today
from projects.actions.problems import Problem
from projects.actions.recording import Book, recording
from projects.actions.roles import OFFICE
from projects.actions.route_checks import follows, must_be_done, must_be_open
from projects.models import Appointment, Crew, Job, JournalEntry, Person
from projects.route.before import BOOKING, GOAL
from projects.route.clashes import INSPECTIONS, NAMES, Clash, Engagement, clashes
from projects.route.holds import installation_problems

BOOKED = {
    "site_visit": "visit_booked",
    "installation": "install_booked",
    "rough_in": "inspection_booked",
    "final": "inspection_booked",
}
"""The journal's kinds."""
SCHEDULING = frozenset(
    {*BOOKED.values(), "inspection_cancelled", "appointment_planned", "appointment_set", "appointment_cancelled",
     "appointment_undone"}
)  # fmt: skip
MOST_DAYS = 15


def schedule(
    *,
    job: Job,
    kind: str,
    actor: Person,
    on: date,
    crew: Crew | None = None,
    starts_at: time | None = None,
    days: int = 1,
    reason: str = "",
    despite: bool = False,
) -> bool:
    """Sets the appointment's day, crew and hour; True where it is booked, False where the day is only planned.

    Moving it needs a reason. Clashes are problems unless ``despite`` says that somebody saw them and goes on.
    """
    with recording(job, actor, OFFICE) as book:
        findings = book.findings
        _known(book, kind)
        dated = findings.booking(job, on)
        if dated:
            follows(book, BOOKING[kind], on)
        if crew is not None and not crew.active:
            findings.add("crew", f"{crew.name} is not active.")
        if not 1 <= days <= (MOST_DAYS if kind == "installation" else 1):
            most = f"Between 1 and {MOST_DAYS}." if kind == "installation" else "Only an installation takes more days."
            findings.add("days", most)
        before = state(job, kind)
        was = before["on"] or before["planned_on"]
        _not_over(book, kind, moved=dated and was != on.isoformat())
        if dated and was and was != on.isoformat():
            findings.need("reason", reason, "Say why it moves.")
        findings.refuse()
        seen = day_clashes(job, kind, on, crew, starts_at, days)
        if seen and not despite:
            for clash in seen:
                findings.add(clash.field, clash.sentence)
            findings.refuse()
        booked = not why_not_booked(book, kind)
        iso = on.isoformat()
        after: State = {
            "on": iso if booked else None,
            "planned_on": None if booked else iso,
            "crew": crew.pk if crew else None,
            "at": starts_at.isoformat("minutes") if starts_at else None,
            "days": days,
        }
        if after == before:
            book.unchanged()
            return booked
        write_state(job, kind, after, reason.strip())
        data = changed(kind, before, after, reason)
        if seen:
            data["despite"] = [clash.sentence for clash in seen]
        same_day = (before["on"], before["planned_on"]) == (after["on"], after["planned_on"])
        book.write("appointment_set" if same_day else BOOKED[kind] if booked else "appointment_planned", **data)
    return booked


def cancel(*, job: Job, kind: str, actor: Person, reason: str) -> None:
    """Calls the appointment off: its day, crew and hour are free again."""
    with recording(job, actor, OFFICE) as book:
        _known(book, kind)
        before = state(job, kind)
        if not (before["on"] or before["planned_on"]):
            book.findings.add("", f"There is no day set for the {NAMES[kind]}.")
        else:
            _not_over(book, kind, moved=True)
        book.findings.need("reason", reason, "Say why it is called off.")
        book.findings.refuse()
        write_state(job, kind, FREE, reason.strip())
        book.write("appointment_cancelled", **changed(kind, before, dict(FREE), reason))


def undo(*, job: Job, entry: JournalEntry, actor: Person) -> None:
    """Takes back the appointment's last change, as long as nothing has changed since and the route allows it."""
    with recording(job, actor, OFFICE) as book:
        if entry.job_id != job.pk or entry.kind not in SCHEDULING or "before" not in entry.data:
            book.findings.add("", "That is no change of an appointment of this job.")
            book.findings.refuse()
        kind = entry.data["appointment"]
        before: State = entry.data["after"]
        after: State = entry.data["before"]
        newest = last_change(job, kind)
        if newest is None or newest.pk != entry.pk or state(job, kind) != before:
            book.findings.add("", "It has been changed since; look at it again.")
        _not_over(book, kind, moved=True)
        if after["on"] and (stopped := why_not_booked(book, kind)):
            book.findings.extend("", [problem.message for problem in stopped])
        book.findings.refuse()
        write_state(job, kind, after, "Taken back.")
        book.write("appointment_undone", **changed(kind, before, after))


def last_change(job: Job, kind: str) -> JournalEntry | None:
    """The newest change of this appointment that the journal can undo."""
    rows = JournalEntry.objects.filter(job=job, kind__in=SCHEDULING).select_related("actor").order_by("-id")
    return next((row for row in rows if row.data.get("appointment") == kind and "before" in row.data), None)


def why_not_booked(book: Book, kind: str) -> list[Problem]:
    """Why the route allows no booking now; empty where it does."""
    kept, book.findings = book.findings, Findings()
    if kind == "site_visit":
        must_be_done(book, ("go_ahead",))
    else:
        must_be_open(book, BOOKING[kind], again=True)
        book.findings.extend("", installation_problems(book.facts))
    found, book.findings = book.findings.found, kept
    return found


def day_clashes(
    job: Job, kind: str, on: date, crew: Crew | None, starts_at: time | None, days: int
) -> tuple[Clash, ...]:
    """What speaks against the day, by the crews' weeks, the jurisdiction's calendar and all other appointments."""
    run = run_of(on, days, crew)
    beside = [row.as_engagement() for row in engagements(run[0], run[-1]) if not row.done]
    own = [row.as_engagement() for name, row in current(job).items() if name != kind and not row.done]
    there = [row for row in beside if row.job != job.label] + own
    members = frozenset(person.name for person in crew.members.all()) if crew else frozenset()
    wanted = Engagement(job.label, kind, run, crew.name if crew else "", starts_at, members)
    profile = facts_of(job).jurisdiction
    return clashes(
        wanted,
        crew_week(crew) if crew else None,
        there,
        today=office_today(),
        holidays=profile.holidays,
        whose_holidays=profile.name,
        notice_days=profile.inspection_notice_days,
    )


def _known(book: Book, kind: str) -> None:
    if kind not in Appointment.Kind.values:
        book.findings.add("kind", "Choose what the appointment is for.")
        book.findings.refuse()


def _not_over(book: Book, kind: str, *, moved: bool) -> None:
    """Adds a problem where it has taken place, or where this job's route has no such appointment."""
    goal = next((row for row in book.standing.requirements if row.key == GOAL[kind]), None)
    if goal is None:
        book.findings.add("", f"This job's route has no {NAMES[kind]}.")
    elif kind in INSPECTIONS and goal.done:
        book.findings.add("", f"The {NAMES[kind]} has passed already.")
    elif kind == "installation" and "install_started" in book.facts.marks and moved:
        book.findings.add("on", "The installation has started already.")
    elif kind == "site_visit" and book.standing.stage not in ("lead", "site_assessment"):
        book.findings.add("", "The site visit is over.")
