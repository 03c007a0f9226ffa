"""Inspection: the final one, or where no permit is asked for the licensed electrician's own check."""

from __future__ import annotations

from projects.route.facts import JobFacts
from projects.route.reading import exempt_from_permits
from projects.route.requirements.base import Requirement, days_after, marked, said
from projects.route.requirements.inspecting import BOOK_DAYS, booking, corrections, passing

_WORK = ("mounted", "wired", "labels", "commissioning_tests")


def _inspected(facts: JobFacts) -> bool:
    return not exempt_from_permits(facts)


REQUIREMENTS = (
    corrections("final", stage="inspection", applies=_inspected),
    booking("final", stage="inspection", applies=_inspected, after=(*_WORK, "rough_in", "final_corrections")),
    passing("final", key="final_passed", stage="inspection", applies=_inspected, after=("final_booked",), hold=True),
    Requirement(
        key="final_check",
        stage="inspection",
        party="electrician",
        sentence=said("The licensed electrician's own final check is passed"),
        met=marked("final_check"),
        applies=exempt_from_permits,
        after=_WORK,
        due=days_after(BOOK_DAYS, *_WORK),
        detail=said("no permit, so no inspector comes: this check stands in for the final inspection"),
        hold=True,
        waivable=False,
        mark="final_check",
    ),
)
