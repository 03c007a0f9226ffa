"""What must be true before somebody comes to the house: the requirements that stand before an appointment."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from projects.route.clashes import INSPECTIONS
from projects.route.facts import JobFacts
from projects.route.holds import installation_problems
from projects.route.requirements import REQUIREMENT_BY_KEY
from projects.route.standing import standing
from projects.route.standing_types import RequirementStanding, Standing
from projects.route.words import PERMIT_NAMES

GOAL: dict[str, str] = {
    "site_visit": "service",
    "installation": "install_started",
    "rough_in": "rough_in",
    "final": "final_passed",
}
"""The requirement that the appointment is for: all that comes before it must be done by then."""
BOOKING: dict[str, str] = {
    "site_visit": "visit_booked",
    "installation": "install_booked",
    "rough_in": "rough_in_booked",
    "final": "final_booked",
}


@dataclass(frozen=True)
class Before:
    requirement: RequirementStanding
    late: bool
    """It is due only after the chosen day."""


@dataclass(frozen=True)
class Ahead:
    """What stands between today and the appointment."""

    holds: tuple[str, ...]
    """Why nobody may work there yet: sentences of the holds that protect people. They can't be overruled."""
    unmet: tuple[Before, ...]
    """In the order of the route; the appointment's own booking isn't among them."""
    on_route: bool
    """False where this job has no such appointment (no rough-in asked for, no permit to inspect)."""


def ahead(facts: JobFacts, kind: str, on: date | None = None, answer: Standing | None = None) -> Ahead:
    """``on``: the chosen day, for what is due only later and for permits that end before. Raises KeyError for a kind
    that isn't one.
    """
    goal = GOAL[kind]
    known = {row.key: row for row in (answer or standing(facts)).requirements}
    wanted: set[str] = set()
    open_keys = [goal]
    while open_keys:
        for key in REQUIREMENT_BY_KEY[open_keys.pop()].after:
            if key not in wanted:
                wanted.add(key)
                open_keys.append(key)
    unmet = tuple(
        Before(row, bool(on and row.due_on and row.due_on > on))
        for key, row in known.items()
        if key in wanted and key != BOOKING[kind] and not row.done
    )
    holds = tuple(installation_problems(facts)) if kind != "site_visit" else ()
    return Ahead(holds + _ends_before(facts, kind, on), unmet, goal in known)


def _ends_before(facts: JobFacts, kind: str, on: date | None) -> tuple[str, ...]:
    """Permits that are good today and over by the chosen day."""
    if on is None or kind not in INSPECTIONS | {"installation"}:
        return ()
    return tuple(
        f"The {PERMIT_NAMES[permit.kind]} expires {permit.expires_on.day} {permit.expires_on:%b}, before that day."
        for permit in facts.permits
        if permit.issued_on and permit.expires_on and facts.today <= permit.expires_on < on
    )
