"""Which open requirement presses most, and so whom the job waits on.

The rule, in order:

1. Ours (office, crew, electrician, contractor) where it holds up the current stage: as long as we can move the job,
   it waits on us.
2. What holds up the current stage with somebody else (customer, jurisdiction, utility, lender, engineer), and our own
   dated work of later stages: whichever is due first. An application of ours that is due before the plan reviewer's
   answer comes first; long-lead work with time left doesn't hide the critical path.
3. All the rest, which may start early.

Within a step the earlier due date comes first (none last), then route order, which puts the current stage before later
ones. The rule never asks what day it is, so a stored answer stays true until the next fact.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from projects.route.facts import Party
from projects.route.standing_types import RequirementStanding

OURS: frozenset[Party] = frozenset({"office", "crew", "electrician", "contractor"})


def rank(requirement: RequirementStanding, stage: str) -> int:
    """The step of the rule, 1 pressing most."""
    ours = requirement.party in OURS
    if requirement.stage == stage:
        return 1 if ours else 2
    return 2 if ours and requirement.due_on else 3


def pressing_order(requirements: Sequence[RequirementStanding], stage: str) -> tuple[RequirementStanding, ...]:
    """The open requirements, the most pressing first."""
    unmet = [requirement for requirement in requirements if requirement.state == "open"]
    return tuple(sorted(unmet, key=lambda r: (rank(r, stage), r.due_on or date.max)))
