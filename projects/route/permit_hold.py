"""The hold before installation, read from the facts alone: a waiver elsewhere can't release it."""

from __future__ import annotations

from projects.route.facts import JobFacts
from projects.route.reading import (
    exempt_from_permits,
    issued_on,
    permit_expired,
    permit_kinds,
    permits_of_another_design,
)
from projects.route.words import PERMIT_NAMES


def permits_hold_problems(facts: JobFacts) -> list[str]:
    """Why the permits don't allow installation yet; empty where they do."""
    who = facts.jurisdiction.name
    if exempt_from_permits(facts):
        if "permit_exemption" in facts.marks:
            return []
        return [f"The rule by which {who} asks for no permit here is not confirmed yet."]
    problems = []
    for kind in permit_kinds(facts):
        if issued_on(facts, kind) is None:
            verb = "approved" if kind == "fire" else "issued"
            problems.append(f"The {PERMIT_NAMES[kind]} is not {verb} by {who} yet.")
        elif permit_expired(facts, kind):
            problems.append(f"The {PERMIT_NAMES[kind]} has expired: renew it with {who}.")
    differing = permits_of_another_design(facts)
    for kind in differing:
        problems.append(f"The {PERMIT_NAMES[kind]} shows another design than the current one.")
    if differing:
        problems.extend(f"Changed since the set was submitted: {change}." for change in facts.design_changes)
    return problems
