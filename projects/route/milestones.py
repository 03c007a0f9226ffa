"""By which fact of the route a payment becomes due: computed from the job's standing, never typed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from projects.route.requirements.permits import ISSUED_KEYS
from projects.route.standing_types import RequirementStanding, Standing

MILESTONE_KEYS: dict[str, tuple[tuple[str, ...], ...]] = {
    "contract": (("contract",),),
    "permits": (ISSUED_KEYS,),
    "equipment": (("equipment_received",),),
    "started": (("install_started",),),
    "installed": (("mounted", "wired", "labels", "commissioning_tests"),),
    "inspected": (("final_passed", "final_check"),),
    # Off the grid nobody has to permit it: the final inspection, or the electrician's own check, is the last word.
    "permission": (("permission",), ("final_passed", "final_check")),
    "handover": (("handover",),),
}
"""Requirements that must all be done, of those that a job has; a second group counts where it has none of the first."""


@dataclass(frozen=True)
class Reached:
    on: date | None
    """The day of the last of its facts; None where no day is known."""


def reached(standing: Standing, key: str) -> Reached | None:
    """None until every requirement behind the milestone is met or waived. Raises KeyError for an unknown milestone."""
    found = _behind(standing, key)
    if not found or not all(requirement.done for requirement in found):
        return None
    return Reached(max((r.met_on for r in found if r.met_on), default=None))


def missing(standing: Standing, key: str) -> tuple[str, ...]:
    """Sentences of what must come first."""
    return tuple(requirement.sentence for requirement in _behind(standing, key) if not requirement.done)


def _behind(standing: Standing, key: str) -> list[RequirementStanding]:
    for group in MILESTONE_KEYS[key]:
        found = [requirement for requirement in standing.requirements if requirement.key in group]
        if found:
            return found
    return []
