"""Which open requirement presses most, and so whom the job waits on.

The rule, in order:

1. Ours (office, crew, electrician, contractor), where it holds up the current stage, or is due today or overdue
   wherever it stands: as long as we can move the job or are late with something, it waits on us.
2. The customer's, in the current stage.
3. Others' (jurisdiction, utility, lender, engineer), in the current stage: the critical path.
4. Ours in later stages, not due yet: long-lead work that may start early.
5. All the rest.

Within a rank the earlier due date first (none last), then route order.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from projects.route.facts import Party
from projects.route.standing_types import RequirementStanding

OURS: frozenset[Party] = frozenset({"office", "crew", "electrician", "contractor"})


def rank(requirement: RequirementStanding, stage: str, today: date) -> int:
    """0 presses most."""
    current = requirement.stage == stage
    if requirement.party in OURS:
        late = requirement.due_on is not None and requirement.due_on <= today
        return 0 if current or late else 3
    if not current:
        return 4
    return 1 if requirement.party == "customer" else 2


def pressing_order(
    requirements: Sequence[RequirementStanding], stage: str, today: date
) -> tuple[RequirementStanding, ...]:
    """The open requirements, the most pressing first."""
    unmet = [requirement for requirement in requirements if requirement.state == "open"]
    return tuple(sorted(unmet, key=lambda r: (rank(r, stage, today), r.due_on or date.max)))
