"""Permits: parallel branches, each with its rounds of plan review; or the rule that asks for none."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from projects.route.business_days import business_days_between
from projects.route.facts import JobFacts, PermitKind
from projects.route.reading import (
    exempt_from_permits,
    issued_on,
    latest_submission,
    permit_expired,
    permit_kinds,
    permit_of,
    permits_of_another_design,
)
from projects.route.requirements.base import Done, Met, Requirement, days_after, marked, never, on_day
from projects.route.words import PERMIT_NAMES, counted, listed, short_date

SUBMIT_DAYS = 3
_READY = ("contract", "single_line", "electrician_review", "contractor_review")
_READY_WITH_LETTER = (*_READY, "structural_letter")

KINDS: tuple[PermitKind, ...] = ("building", "electrical", "combined", "fire")


def review_days(facts: JobFacts, kind: PermitKind) -> int:
    """Business days that plan review takes, by the jurisdiction's profile."""
    profile = facts.jurisdiction
    if kind == "building":
        return profile.building_review_days
    if kind == "electrical":
        return profile.electrical_review_days
    if kind == "fire":
        return profile.fire_review_days
    return max(profile.building_review_days, profile.electrical_review_days)


def in_review(days: int, of: int, review: str) -> str:
    """ "day 6 of 10 in plan review"."""
    if days > of:
        late = days - of
        return f"{late} business day{'' if late == 1 else 's'} over the usual {of} in {review}"
    return f"day {days} of {of} in {review}"


def has_corrections(facts: JobFacts, kind: PermitKind) -> bool:
    latest = latest_submission(facts, kind)
    return latest is not None and latest.outcome == "corrections"


def _submitted(facts: JobFacts, kind: PermitKind) -> Met | None:
    permit = permit_of(facts, kind)
    return Met(permit.submissions[0].submitted_on) if permit and permit.submissions else None


def _corrections_detail(facts: JobFacts, kind: PermitKind) -> str:
    latest = latest_submission(facts, kind)
    if latest is None:
        return ""
    if not latest.comments:
        return "no comments are recorded yet"
    answered = counted(latest.comments, "comment", "answered")
    return f"{answered}, resubmit" if all(comment.answered_on for comment in latest.comments) else answered


def _corrections_due(facts: JobFacts, done: Done, kind: PermitKind) -> date | None:
    latest = latest_submission(facts, kind)
    start = latest.outcome_on or latest.submitted_on if latest else None
    return done.jurisdiction_days_after(facts.jurisdiction.answer_days, start)


def _issued_due(facts: JobFacts, done: Done, kind: PermitKind) -> date | None:
    latest = latest_submission(facts, kind)
    return done.jurisdiction_days_after(review_days(facts, kind), latest.submitted_on if latest else None)


def _issued_detail(facts: JobFacts, kind: PermitKind) -> str:
    latest = latest_submission(facts, kind)
    if latest is None or latest.outcome == "corrections" or issued_on(facts, kind):
        return ""
    if latest.outcome == "approved":
        return "plan review approved, the permit itself is not issued yet"
    days = business_days_between(latest.submitted_on, facts.today, facts.jurisdiction.holidays)
    return in_review(days, review_days(facts, kind), "plan review")


def _expired_on(facts: JobFacts, kind: PermitKind) -> date | None:
    permit = permit_of(facts, kind)
    return permit.expires_on if permit else None


def _renewal_detail(facts: JobFacts, kind: PermitKind) -> str:
    expired = _expired_on(facts, kind)
    return f"expired {short_date(expired, facts.today)}" if expired else ""


def _names(name: str, kind: PermitKind, verb: str) -> Callable[[JobFacts], str]:
    return lambda facts: f"The {name} is {verb} {facts.jurisdiction.name}"


def _branch(kind: PermitKind) -> tuple[Requirement, ...]:
    name = PERMIT_NAMES[kind]
    after = _READY_WITH_LETTER if kind in ("building", "combined") else _READY
    return (
        Requirement(
            key=f"permit_{kind}_submitted",
            stage="permits",
            party="office",
            sentence=_names(name, kind, "submitted to"),
            met=lambda facts: _submitted(facts, kind),
            applies=lambda facts: kind in permit_kinds(facts),
            after=after,
            due=days_after(SUBMIT_DAYS, *after),
            waivable=False,
            branch=kind,
        ),
        Requirement(
            key=f"permit_{kind}_corrections",
            stage="permits",
            party="office",
            sentence=lambda facts: (
                f"The corrections to the {name} are answered and resubmitted to {facts.jurisdiction.name}"
            ),
            met=never,
            applies=lambda facts: kind in permit_kinds(facts) and has_corrections(facts, kind),
            due=lambda facts, done: _corrections_due(facts, done, kind),
            detail=lambda facts: _corrections_detail(facts, kind),
            waivable=False,
            branch=kind,
        ),
        Requirement(
            key=f"permit_{kind}_issued",
            stage="permits",
            party="jurisdiction",
            sentence=_names(name, kind, "approved by" if kind == "fire" else "issued by"),
            met=lambda facts: on_day(issued_on(facts, kind)),
            applies=lambda facts: kind in permit_kinds(facts),
            after=(f"permit_{kind}_submitted", f"permit_{kind}_corrections"),
            due=lambda facts, done: _issued_due(facts, done, kind),
            detail=lambda facts: _issued_detail(facts, kind),
            waivable=False,
            branch=kind,
        ),
        Requirement(
            key=f"permit_{kind}_renewal",
            stage="permits",
            party="office",
            sentence=lambda facts: f"The expired {name} is renewed with {facts.jurisdiction.name}",
            met=never,
            applies=lambda facts: kind in permit_kinds(facts) and permit_expired(facts, kind),
            due=lambda facts, done: _expired_on(facts, kind),
            detail=lambda facts: _renewal_detail(facts, kind),
            waivable=False,
            branch=kind,
        ),
    )


def _match_detail(facts: JobFacts) -> str:
    if facts.design_changes:
        return "; ".join(facts.design_changes)
    if not facts.design_fingerprint:
        return "there is no current design"
    names = listed([f"the {PERMIT_NAMES[kind]}" for kind in permits_of_another_design(facts)])
    return f"{names} shows an earlier design" if names else ""


def _match_due(facts: JobFacts, done: Done) -> date | None:
    return done.business_days_after(SUBMIT_DAYS, facts.design_on)


REQUIREMENTS = (
    Requirement(
        key="permit_exemption",
        stage="permits",
        party="office",
        sentence=lambda facts: f"The rule by which {facts.jurisdiction.name} asks for no permit here is confirmed",
        met=marked("permit_exemption"),
        applies=exempt_from_permits,
        after=_READY,
        due=days_after(SUBMIT_DAYS, *_READY),
        detail=lambda facts: facts.jurisdiction.off_grid_exemption_rule,
        keeps_detail=True,
        waivable=False,
        mark="permit_exemption",
    ),
    *(requirement for kind in KINDS for requirement in _branch(kind)),
    Requirement(
        key="permits_match_design",
        stage="permits",
        party="office",
        sentence=lambda facts: f"The changed design is revised and resubmitted to {facts.jurisdiction.name}",
        met=never,
        applies=lambda facts: bool(permits_of_another_design(facts)),
        due=_match_due,
        detail=_match_detail,
        waivable=False,
    ),
)

ISSUED_KEYS = ("permit_exemption", *(f"permit_{kind}_issued" for kind in KINDS))
CLEARED_KEYS = (*ISSUED_KEYS, *(f"permit_{kind}_renewal" for kind in KINDS), "permits_match_design")
"""All that must be settled before anyone may install."""
