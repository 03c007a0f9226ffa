"""Permission to operate, switching on, handover, and the warranty that follows."""

from __future__ import annotations

from datetime import date

from projects.route.facts import JobFacts
from projects.route.reading import connects_to_grid
from projects.route.requirements.base import Done, Requirement, days_after, marked, on_day, said

SWITCH_ON_DAYS = 2
HANDOVER_DAYS = 5
WARRANTY_DAYS = 5
# Common practice, no source.

_UTILITY_SIDE = ("application_matches_design", "utility_approval", "inspection_sent", "agreement", "meter", "witness")


def _permission_due(facts: JobFacts, done: Done) -> date | None:
    return done.utility_days_after(facts.utility.permission_days, done.latest(*_UTILITY_SIDE))


_PERMISSION_DETAIL = "no operation in parallel with the utility before this"


REQUIREMENTS = (
    Requirement(
        key="permission",
        stage="operation",
        party="utility",
        sentence=lambda facts: f"Permission to operate is granted by {facts.utility.name}",
        met=lambda facts: on_day(facts.interconnection.permission_on),
        applies=connects_to_grid,
        after=_UTILITY_SIDE,
        due=_permission_due,
        detail=said(_PERMISSION_DETAIL),
        hold=True,
        waivable=False,
    ),
    Requirement(
        key="switched_on",
        stage="operation",
        party="crew",
        sentence=said("The system is switched on for good"),
        met=marked("switched_on"),
        after=("final_passed", "final_check", "permission"),
        due=days_after(SWITCH_ON_DAYS, "final_passed", "final_check", "permission"),
        mark="switched_on",
    ),
    Requirement(
        key="handover",
        stage="operation",
        party="office",
        sentence=said("The customer has been shown how to live with the system and how to shut it down"),
        met=marked("handover"),
        after=("switched_on",),
        due=days_after(HANDOVER_DAYS, "switched_on"),
        mark="handover",
    ),
    Requirement(
        key="warranty",
        stage="in_service",
        party="office",
        sentence=said("The warranties are registered in the customer's name"),
        met=marked("warranty_registered"),
        after=("switched_on",),
        due=days_after(WARRANTY_DAYS, "switched_on"),
        mark="warranty_registered",
    ),
)
