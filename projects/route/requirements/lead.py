"""Lead: who asks, what must run, which kind of system, the first-look report, the customer's go-ahead."""

from __future__ import annotations

from datetime import date, timedelta

from projects.route.facts import JobFacts
from projects.route.pauses import moved_by_pauses
from projects.route.requirements.base import Done, Met, Requirement, known, marked, said

FIRST_LOOK_HOURS = 24
"""Common practice, no source: an answer within a day. Hours of the clock, weekends and holidays too."""
GO_AHEAD_DAYS = 14
"""Calendar days that a household gets before the office asks again. Common practice, no source."""


def first_look_due(facts: JobFacts) -> date:
    due = (facts.received_at + timedelta(hours=FIRST_LOOK_HOURS)).date()
    return moved_by_pauses(facts, facts.received_at.date(), due) if facts.pauses else due


def _due(facts: JobFacts, done: Done) -> date | None:
    return first_look_due(facts)


def _contact_detail(facts: JobFacts) -> str:
    return "" if facts.place_known else "the ZIP code isn't in the table: type the coordinates of the house"


def _first_look(facts: JobFacts) -> Met | None:
    paper = facts.papers.get("first_look")
    return None if paper is None else Met(paper[0])


def _go_ahead_due(facts: JobFacts, done: Done) -> date | None:
    seen = done.latest("first_look")
    return None if seen is None else moved_by_pauses(facts, seen, seen + timedelta(days=GO_AHEAD_DAYS))


REQUIREMENTS = (
    Requirement(
        key="contact",
        stage="lead",
        party="office",
        sentence=said("The customer's name, address and a way to reach them are known"),
        met=lambda facts: known(facts.contact_known and facts.place_known),
        due=_due,
        detail=_contact_detail,
    ),
    Requirement(
        key="answers",
        stage="lead",
        party="office",
        sentence=said("What must run in an outage, what matters first and the electric use are known"),
        met=lambda facts: known(facts.answers_known),
        due=_due,
    ),
    Requirement(
        key="system_type",
        stage="lead",
        party="office",
        sentence=said("The kind of system is decided"),
        met=lambda facts: known(facts.system_type is not None),
        due=_due,
        waivable=False,
        detail=said("off-grid, grid-tied or hybrid: the rest of the route depends on it"),
    ),
    Requirement(
        key="first_look",
        stage="lead",
        party="office",
        sentence=said("The first-look report is with the customer"),
        met=_first_look,
        after=("contact", "answers", "system_type"),
        due=_due,
        detail=said("within 24 hours of the request"),
    ),
    Requirement(
        key="go_ahead",
        stage="lead",
        party="customer",
        sentence=said("The customer gives the go-ahead for a site assessment"),
        met=marked("go_ahead"),
        after=("first_look",),
        due=_go_ahead_due,
        mark="go_ahead",
    ),
)
