"""Readings of a job's facts that several requirements share."""

from __future__ import annotations

from datetime import date

from projects.route.facts import InspectionFacts, InspectionKind, JobFacts, PermitFacts, PermitKind, Submission

_SPLIT: tuple[PermitKind, ...] = ("building", "electrical")
_COMBINED: tuple[PermitKind, ...] = ("combined",)
_FIRE: tuple[PermitKind, ...] = ("fire",)


def connects_to_grid(facts: JobFacts) -> bool:
    """Undecided counts as yes: the route then shows the grid-tied one."""
    return facts.system_type != "off_grid"


def exempt_from_permits(facts: JobFacts) -> bool:
    """Off-grid where the jurisdiction's profile names a rule that asks for no permit."""
    return facts.system_type == "off_grid" and facts.jurisdiction.off_grid_exempt


def permit_kinds(facts: JobFacts) -> tuple[PermitKind, ...]:
    """The permits this job needs, in drawing order."""
    if exempt_from_permits(facts):
        return ()
    kinds = _COMBINED if facts.jurisdiction.combined_permit else _SPLIT
    return kinds + _FIRE if facts.jurisdiction.fire_review else kinds


def permit_of(facts: JobFacts, kind: PermitKind) -> PermitFacts | None:
    for permit in facts.permits:
        if permit.kind == kind:
            return permit
    return None


def latest_submission(facts: JobFacts, kind: PermitKind) -> Submission | None:
    permit = permit_of(facts, kind)
    return permit.submissions[-1] if permit and permit.submissions else None


def issued_on(facts: JobFacts, kind: PermitKind) -> date | None:
    """When the permit was issued for the latest set submitted; a set resubmitted since then is under review again."""
    permit = permit_of(facts, kind)
    if permit is None or permit.issued_on is None:
        return None
    if permit.submissions:
        latest = permit.submissions[-1]
        if latest.outcome == "corrections":
            return None
        if latest.outcome == "pending" and permit.issued_on < latest.submitted_on:
            return None
    return permit.issued_on


def permit_expired(facts: JobFacts, kind: PermitKind) -> bool:
    """Issued, past its date, and the work not yet passed at the final inspection."""
    permit = permit_of(facts, kind)
    if permit is None or permit.expires_on is None or permit.issued_on is None:
        return False
    return permit.expires_on < facts.today and final_passed_on(facts) is None


def permits_of_another_design(facts: JobFacts) -> tuple[PermitKind, ...]:
    """The permits whose latest set shows another design than the current one."""
    kinds = permit_kinds(facts)
    submitted = [(kind, latest) for kind in kinds if (latest := latest_submission(facts, kind))]
    differing = tuple(kind for kind, latest in submitted if latest.design_fingerprint != facts.design_fingerprint)
    if not differing and facts.design_changes:
        return tuple(kind for kind, _ in submitted)
    return differing


def decided_inspection(facts: JobFacts, kind: InspectionKind) -> InspectionFacts | None:
    """The latest inspection of this kind that has a result."""
    for inspection in reversed(facts.inspections):
        if inspection.kind == kind and inspection.result in ("passed", "corrections"):
            return inspection
    return None


def current_inspection(facts: JobFacts, kind: InspectionKind) -> InspectionFacts | None:
    """The latest inspection of this kind that wasn't cancelled: booked, failed or passed."""
    for inspection in reversed(facts.inspections):
        if inspection.kind == kind and inspection.result != "cancelled":
            return inspection
    return None


def passed_on(facts: JobFacts, kind: InspectionKind) -> date | None:
    """A pass holds until a later inspection of the same kind finds corrections."""
    inspection = decided_inspection(facts, kind)
    if inspection is None or inspection.result != "passed":
        return None
    return inspection.result_on or inspection.booked_for


def final_passed_on(facts: JobFacts) -> date | None:
    return passed_on(facts, "final")
