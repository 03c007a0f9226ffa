"""The three requirements that an inspection brings: put right what was found, book, pass."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from projects.route.facts import InspectionKind, JobFacts
from projects.route.reading import current_inspection, passed_on
from projects.route.requirements.base import Done, Met, Requirement, days_after
from projects.route.words import counted, short_date

BOOK_DAYS = 2
"""Common practice, no source."""
NAMES: dict[InspectionKind, str] = {"rough_in": "rough-in inspection", "final": "final inspection"}


def found_corrections(facts: JobFacts, kind: InspectionKind) -> bool:
    latest = current_inspection(facts, kind)
    return latest is not None and latest.result == "corrections"


def corrections(kind: InspectionKind, *, stage: str, applies: Callable[[JobFacts], bool]) -> Requirement:
    """Exists while the latest inspection found something; met once all is fixed, gone once a new one is booked."""

    def met(facts: JobFacts) -> Met | None:
        latest = current_inspection(facts, kind)
        if latest is None:
            return None
        fixed = [comment.answered_on for comment in latest.corrections if comment.answered_on]
        if len(fixed) < len(latest.corrections):
            return None
        return Met(max(fixed, default=latest.result_on))

    def due(facts: JobFacts, done: Done) -> date | None:
        latest = current_inspection(facts, kind)
        start = latest.result_on or latest.booked_for if latest else None
        return done.jurisdiction_days_after(facts.jurisdiction.answer_days, start)

    def detail(facts: JobFacts) -> str:
        latest = current_inspection(facts, kind)
        return counted(latest.corrections, "correction", "fixed") if latest else ""

    return Requirement(
        key=f"{kind}_corrections",
        stage=stage,
        party="crew",
        sentence=lambda facts: f"The corrections from the {NAMES[kind]} are fixed",
        met=met,
        applies=lambda facts: applies(facts) and found_corrections(facts, kind),
        due=due,
        detail=detail,
    )


def booking(
    kind: InspectionKind, *, stage: str, applies: Callable[[JobFacts], bool], after: tuple[str, ...]
) -> Requirement:
    """A first inspection, or after corrections the next one."""

    def sentence(facts: JobFacts) -> str:
        which = "re-inspection" if found_corrections(facts, kind) else NAMES[kind]
        return f"The {which} is booked with {facts.jurisdiction.name}"

    def met(facts: JobFacts) -> Met | None:
        latest = current_inspection(facts, kind)
        return None if latest is None or latest.result == "corrections" else Met()

    def detail(facts: JobFacts) -> str:
        days = facts.jurisdiction.inspection_notice_days
        if days == 0:
            return ""
        return f"{facts.jurisdiction.name} wants {days} business day{'' if days == 1 else 's'} notice"

    return Requirement(
        key=f"{kind}_booked",
        stage=stage,
        party="office",
        sentence=sentence,
        met=met,
        applies=applies,
        after=after,
        due=days_after(BOOK_DAYS, *after),
        detail=detail,
    )


def passing(
    kind: InspectionKind,
    *,
    key: str,
    stage: str,
    applies: Callable[[JobFacts], bool],
    after: tuple[str, ...],
    hold: bool = False,
) -> Requirement:
    """The inspector's pass, due on the day it is booked for."""

    def met(facts: JobFacts) -> Met | None:
        day = passed_on(facts, kind)
        return None if day is None else Met(day)

    def booked_for(facts: JobFacts, done: Done) -> date | None:
        latest = current_inspection(facts, kind)
        return latest.booked_for if latest and latest.result == "booked" else None

    def detail(facts: JobFacts) -> str:
        latest = current_inspection(facts, kind)
        if latest is None or latest.result != "booked":
            return ""
        day = short_date(latest.booked_for, facts.today)
        return f"booked for {day}" if latest.booked_for >= facts.today else f"was booked for {day}: record the result"

    return Requirement(
        key=key,
        stage=stage,
        party="jurisdiction",
        sentence=lambda facts: f"The {NAMES[kind]} is passed with {facts.jurisdiction.name}",
        met=met,
        applies=applies,
        after=after,
        due=booked_for,
        detail=detail,
        hold=hold,
        waivable=not hold,
    )
