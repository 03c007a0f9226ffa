"""Plan review, inspections and the utility's side as the job page's third sheet shows them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from projects.models import (
    Inspection,
    InspectionCorrection,
    Interconnection,
    Permit,
    PermitSubmission,
    PlanComment,
    UtilityRequest,
)
from projects.route.requirements.interconnection import LEVELS
from projects.route.standing_types import RequirementStanding, Standing
from projects.screens.office.steps import Act, Finder
from projects.screens.office.symbols import SYMBOLS, WORDS
from projects.screens.office.tables import day


@dataclass(frozen=True)
class CommentLine:
    comment: PlanComment
    act: Act | None


@dataclass(frozen=True)
class Round:
    submission: PermitSubmission
    comments: tuple[CommentLine, ...]


@dataclass(frozen=True)
class Branch:
    """One permit with its rounds of plan review, the newest first."""

    title: str
    permit: Permit | None
    issued: RequirementStanding
    rounds: tuple[Round, ...]
    acts: tuple[Act, ...]
    void: tuple[Permit, ...] = ()
    """Earlier ones that ended without their work."""

    @property
    def symbol(self) -> str:
        return SYMBOLS[self.issued.state]


@dataclass(frozen=True)
class CorrectionLine:
    correction: InspectionCorrection
    act: Act | None


@dataclass(frozen=True)
class InspectionLine:
    inspection: Inspection
    corrections: tuple[CorrectionLine, ...]
    acts: tuple[Act, ...]


@dataclass(frozen=True)
class InspectionKind:
    title: str
    lines: tuple[InspectionLine, ...]
    book: Act | None


@dataclass(frozen=True)
class RequestLine:
    request: UtilityRequest
    act: Act | None


@dataclass(frozen=True)
class UtilityLine:
    requirement: RequirementStanding
    act: Act | None

    @property
    def symbol(self) -> str:
        return SYMBOLS[self.requirement.state]

    @property
    def word(self) -> str:
        return WORDS[self.requirement.state]


@dataclass(frozen=True)
class UtilitySide:
    lines: tuple[UtilityLine, ...]
    requests: tuple[RequestLine, ...]
    ask: Act | None
    number: str
    permission_number: str
    review: tuple[Act, ...] = ()
    """While the utility looks at it: its place in the queue, the level it is taken on."""
    applied: str = ""
    """ "Level 1, simplified: 7.6 kW AC" as applied for."""
    queued: str = ""
    told: date | None = None
    """When the utility was last told of a changed design."""


def given(*acts: Act | None) -> tuple[Act, ...]:
    return tuple(act for act in acts if act)


def branches(answer: Standing, finder: Finder, void: tuple[Permit, ...] = ()) -> list[Branch]:
    found = []
    open_keys = {r.key for r in answer.requirements if r.state == "open"}
    passed = any(r.key == "final_passed" and r.done for r in answer.requirements)
    for requirement in answer.requirements:
        if requirement.key != f"permit_{requirement.branch}_issued":
            continue
        kind = requirement.branch
        permit = finder.rounds.permits.get(kind)
        submissions = list(permit.submissions.all()) if permit else []
        latest = submissions[-1] if submissions else None
        rounds = tuple(
            Round(
                submission,
                tuple(
                    CommentLine(
                        comment,
                        finder.form("Answer", "comment-answer", comment.pk)
                        if submission is latest and comment.answered_on is None and not requirement.done
                        else None,
                    )
                    for comment in submission.comments.all()
                ),
            )
            for submission in reversed(submissions)
        )
        found.append(
            Branch(
                Permit.Kind(kind).label,
                permit,
                requirement,
                rounds,
                branch_acts(kind, latest, requirement, open_keys, finder, passed),
                tuple(row for row in void if row.kind == kind),
            )
        )
    return found


def branch_acts(
    kind: str,
    latest: PermitSubmission | None,
    issued: RequirementStanding,
    open_keys: set[str],
    finder: Finder,
    passed: bool = False,
) -> tuple[Act, ...]:
    if latest is None:
        ready = f"permit_{kind}_submitted" in open_keys
        return given(finder.form("Submit", "permit-submitted", kind) if ready else None)
    void = finder.form("Void", "permit-void", kind)
    if latest.outcome == PermitSubmission.Outcome.CORRECTIONS:
        return given(finder.form("Resubmit", "permit-submitted", kind), void)
    if not issued.done:
        return given(
            finder.form("Issued", "permit-issued", kind),
            finder.form("Corrections asked for", "permit-corrections", kind),
            void,
        )
    again = finder.form("Resubmit", "permit-submitted", kind) if "permits_match_design" in open_keys else None
    return given(again, finder.form("Extend", "permit-renewed", kind), void if not passed else None)


def inspections(answer: Standing, finder: Finder) -> list[InspectionKind]:
    keys = {requirement.key: requirement for requirement in answer.requirements}
    found = []
    for kind, booked_key in (("rough_in", "rough_in_booked"), ("final", "final_booked")):
        rows = [row for row in reversed(finder.rounds.inspections) if row.kind == kind]
        requirement = keys.get(booked_key)
        if requirement is None and not rows:
            continue
        can_book = requirement is not None and requirement.state == "open"
        found.append(
            InspectionKind(
                Inspection.Kind(kind).label,
                tuple(inspection_line(row, finder) for row in rows),
                finder.form("Book", "inspection-booked", kind) if can_book else None,
            )
        )
    return found


def inspection_line(row: Inspection, finder: Finder) -> InspectionLine:
    booked = row.result == Inspection.Result.BOOKED
    acts = given(
        finder.form("Result", "inspection-result", row.pk), finder.form("Cancel", "inspection-cancelled", row.pk)
    )
    corrections = tuple(
        CorrectionLine(
            correction, finder.form("Fixed", "correction-fixed", correction.pk) if not correction.fixed_on else None
        )
        for correction in row.corrections.all()
    )
    return InspectionLine(row, corrections, acts if booked else ())


UTILITY_KEYS = frozenset(
    {
        *("application", "application_matches_design", "application_complete", "screens", "grid_study"),
        *("utility_approval", "agreement", "meter_ordered", "inspection_sent", "meter", "witness", "permission"),
    }
)


def utility_side(answer: Standing, finder: Finder) -> UtilitySide | None:
    """None where the job has no utility (off-grid)."""
    lines = tuple(
        UtilityLine(requirement, finder.recorded_by(requirement)[0] if requirement.state == "open" else None)
        for requirement in answer.requirements
        if requirement.key in UTILITY_KEYS
    )
    if not lines:
        return None
    row = finder.rounds.interconnection
    today = timezone.localdate()
    asked = bool(row and row.submitted_on and not row.permission_on)
    under_review = bool(row and row.submitted_on and not row.approved_on)
    requests = tuple(
        RequestLine(request, finder.form("Answer", "utility-answer", request.pk) if not request.answered_on else None)
        for request in reversed(finder.rounds.requests)
    )
    return UtilitySide(
        lines,
        requests,
        finder.form("The utility needs more", "utility-request") if asked else None,
        row.number if row else "",
        row.permission_number if row else "",
        given(finder.form("Its queue", "utility-queue"), finder.form("Its level", "utility-level"))
        if under_review
        else (),
        applied_words(row) if row else "",
        f"number {row.queue_position}, as told on {day(row.queue_on, today)}" if row and row.queue_position else "",
        row.revised_on if row else None,
    )


def applied_words(row: Interconnection) -> str:
    if row.level is None or row.applied_kw_ac is None:
        return ""
    return f"level {row.level}, {LEVELS[row.level]}, {row.applied_kw_ac:g} kW AC"
