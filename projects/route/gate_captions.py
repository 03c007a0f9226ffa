"""The few words under a gate's title in the one-line drawing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from projects.route.facts import JobFacts, PermitKind
from projects.route.reading import current_inspection, exempt_from_permits, latest_submission, permit_of
from projects.route.standing_types import GateState, RequirementStanding
from projects.route.words import counted, short_date

Members = Sequence[RequirementStanding]


def caption(facts: JobFacts, key: str, state: GateState, members: Members, done: int) -> str:
    """What the gate says: its date once closed, else how far it is; nothing where nothing has begun."""
    if state == "closed":
        return _closed(facts, key, members)
    if facts.outcome:
        return ""
    special = _SPECIAL.get(key)
    words = special(facts, members) if special else ""
    return words or ("" if state == "future" and done == 0 else f"{done} of {len(members)} done")


def _closed(facts: JobFacts, key: str, members: Members) -> str:
    if key == "operation":
        return "in service"
    day = max((r.met_on for r in members if r.met_on), default=None)
    if day is None:
        return "done"
    words = short_date(day, facts.today)
    if key == "permit_fire":
        return f"approved {words}"
    if key.startswith("permit_"):
        return f"issued {words}"
    if key == "permits" and exempt_from_permits(facts):
        return f"exempt, {words}"
    return words


def _due_of(members: Members, ending: str) -> date | None:
    for requirement in members:
        if requirement.state == "open" and requirement.key.endswith(ending):
            return requirement.due_on
    return None


def _permit(kind: PermitKind) -> Callable[[JobFacts, Members], str]:
    def words(facts: JobFacts, members: Members) -> str:
        today = facts.today
        if due := _due_of(members, "_renewal"):
            return f"expired {short_date(due, today)}"
        if any(r.key == "permits_match_design" for r in members):
            return "design changed, resubmit"
        if due := _due_of(members, "_corrections"):
            return f"corrections, answer due {short_date(due, today)}"
        if due := _due_of(members, "_issued"):
            return f"plan review, answer due {short_date(due, today)}"
        if due := _due_of(members, "_submitted"):
            return f"submit by {short_date(due, today)}"
        permit = permit_of(facts, kind)
        latest = latest_submission(facts, kind)
        if permit and permit.issued_on:
            return f"issued {short_date(permit.issued_on, today)}"
        return f"submitted {short_date(latest.submitted_on, today)}" if latest else ""

    return words


def _installation(facts: JobFacts, members: Members) -> str:
    started = any(r.key == "install_started" and r.done for r in members)
    if facts.install_on and not started:
        return f"booked {short_date(facts.install_on, facts.today)}"
    return ""


def _inspection(facts: JobFacts, members: Members) -> str:
    latest = current_inspection(facts, "final")
    if exempt_from_permits(facts) or latest is None:
        return ""
    if latest.result == "booked":
        return f"booked {short_date(latest.booked_for, facts.today)}"
    if latest.result == "corrections":
        return counted(latest.corrections, "correction", "fixed") if latest.corrections else "re-inspection to book"
    return ""


def _interconnection(facts: JobFacts, members: Members) -> str:
    said, today = facts.interconnection, facts.today
    if due := _due_of(members, "utility_requests"):
        return f"utility asks, answer due {short_date(due, today)}"
    if said.meter_set_on:
        return f"meter set {short_date(said.meter_set_on, today)}"
    if said.inspection_sent_on:
        return f"inspection sent {short_date(said.inspection_sent_on, today)}"
    if said.approved_on:
        return f"approved {short_date(said.approved_on, today)}"
    if said.submitted_on:
        return f"applied {short_date(said.submitted_on, today)}"
    return ""


def _operation(facts: JobFacts, members: Members) -> str:
    if due := _due_of(members, "permission"):
        return f"answer due {short_date(due, facts.today)}"
    granted = facts.interconnection.permission_on
    if granted and facts.system_type != "off_grid":
        return f"granted {short_date(granted, facts.today)}"
    return ""


_SPECIAL: dict[str, Callable[[JobFacts, Members], str]] = {
    "permit_building": _permit("building"),
    "permit_electrical": _permit("electrical"),
    "permit_combined": _permit("combined"),
    "permit_fire": _permit("fire"),
    "installation": _installation,
    "inspection": _inspection,
    "interconnection": _interconnection,
    "operation": _operation,
}
