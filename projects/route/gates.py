"""The gates of the one-line drawing: one per stage, the permits stage as parallel branches."""

from __future__ import annotations

from collections.abc import Sequence

from projects.route.facts import JobFacts, Party, PermitKind
from projects.route.gate_captions import caption
from projects.route.reading import permit_kinds, permits_of_another_design
from projects.route.stages import stages_of
from projects.route.standing_types import Gate, GateState, RequirementStanding

_OUR_MOVE: frozenset[Party] = frozenset({"office", "crew", "customer", "electrician", "contractor"})

_BRANCH_TITLES: dict[PermitKind, str] = {
    "building": "Building permit",
    "electrical": "Electrical permit",
    "combined": "Combined permit",
    "fire": "Fire review",
}


def gates_of(facts: JobFacts, requirements: Sequence[RequirementStanding], stage: str) -> tuple[Gate, ...]:
    """In drawing order. The last stage, in service, is the lamp at the end and has no gate of its own."""
    by_stage: dict[str, list[RequirementStanding]] = {}
    for requirement in requirements:
        by_stage.setdefault(requirement.stage, []).append(requirement)
    gates = []
    for step in stages_of(facts):
        if step.key == "in_service":
            continue
        members = by_stage.get(step.key, [])
        kinds = permit_kinds(facts) if step.key == "permits" else ()
        if not kinds:
            gates.append(_gate(facts, step.key, step.title_for(facts.system_type), members, step.key == stage))
            continue
        differing = permits_of_another_design(facts)
        for kind in kinds:
            own = [r for r in members if r.branch == kind or (not r.branch and kind in differing)]
            gates.append(
                _gate(facts, f"permit_{kind}", _BRANCH_TITLES[kind], own, step.key == stage, branch=len(kinds) > 1)
            )
    return tuple(gates)


def _gate(
    facts: JobFacts,
    key: str,
    title: str,
    members: Sequence[RequirementStanding],
    current: bool,
    *,
    branch: bool = False,
) -> Gate:
    undone = [requirement for requirement in members if requirement.state in ("open", "waiting")]
    total, state = len(members), _state(undone)
    done = total - len(undone)
    return Gate(
        key=key,
        title=title,
        caption=caption(facts, key, state, members, done),
        state=state,
        branch=branch,
        current=current and state != "closed",
        done=done,
        total=total,
    )


def _state(undone: Sequence[RequirementStanding]) -> GateState:
    if not undone:
        return "closed"
    parties = {requirement.party for requirement in undone if requirement.state == "open"}
    if not parties:
        return "future"
    return "waiting" if parties.isdisjoint(_OUR_MOVE) else "live"
