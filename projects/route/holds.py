"""Guards for actions: what the three holds that protect people say, as lists of plain sentences.

1. No installation before the required permits are issued for the current design.
2. No operation beyond commissioning tests before the final inspection has passed.
3. No operation in parallel with the utility before permission to operate.

They read the facts alone and never a waiver, so that no waiver can release them.
"""

from __future__ import annotations

from projects.route.facts import JobFacts
from projects.route.permit_hold import permits_hold_problems
from projects.route.reading import connects_to_grid, exempt_from_permits, final_passed_on
from projects.route.requirements import REQUIREMENT_BY_KEY

INSTALLING_MARKS = frozenset({"install_started", "mounted", "wired", "labels", "commissioning_tests"})
"""Marks that say work was done at the house."""


def _closed(facts: JobFacts) -> list[str]:
    return [f"The job is {facts.outcome}."] if facts.outcome else []


def installation_problems(facts: JobFacts) -> list[str]:
    """Why nobody may install yet; empty where they may."""
    if facts.system_type is None:
        return [*_closed(facts), "The kind of system is not decided yet."]
    return [*_closed(facts), *permits_hold_problems(facts)]


def operation_problems(facts: JobFacts) -> list[str]:
    """Why the system may not run beyond its commissioning tests yet; empty where it may."""
    problems = _closed(facts)
    if facts.system_type is None:
        problems.append("The kind of system is not decided yet.")
    if exempt_from_permits(facts):
        if "final_check" not in facts.marks:
            problems.append("The licensed electrician's own final check is not recorded yet.")
    elif final_passed_on(facts) is None:
        problems.append(f"The final inspection with {facts.jurisdiction.name} has not passed yet.")
    return problems


def parallel_operation_problems(facts: JobFacts) -> list[str]:
    """Why the system may not run in parallel with the utility yet.

    Empty where it may, and for an off-grid system, which never runs in parallel with one.
    """
    if facts.system_type is not None and not connects_to_grid(facts):
        return []
    problems = operation_problems(facts)
    if facts.interconnection.permission_on is None:
        problems.append(f"{facts.utility.name} has not granted permission to operate yet.")
    return [problem[:1].upper() + problem[1:] for problem in problems]


def mark_problems(facts: JobFacts, key: str) -> list[str]:
    """Why the mark ``key`` may not be recorded yet by the holds; empty where no hold stands against it."""
    if key in INSTALLING_MARKS:
        return installation_problems(facts)
    if key == "switched_on":
        return parallel_operation_problems(facts) if connects_to_grid(facts) else operation_problems(facts)
    return []


def waiver_problems(facts: JobFacts, key: str) -> list[str]:
    """Why the owner may not waive this requirement; empty where they may. Whether it's the owner is the action's."""
    requirement = REQUIREMENT_BY_KEY.get(key)
    if requirement is None:
        return [f"There is no requirement “{key}”."]
    sentence = requirement.sentence(facts)
    if requirement.hold:
        return [f"“{sentence}” protects people: it can't be waived, only satisfied."]
    if not requirement.waivable:
        return [f"“{sentence}” can't be waived: what comes after it reads the fact itself."]
    if not requirement.applies(facts):
        return [f"“{sentence}” is not part of this job's route."]
    if requirement.met(facts) is not None:
        return [f"“{sentence}” is already met."]
    if key in facts.waivers:
        return [f"“{sentence}” is already waived."]
    return _closed(facts)
