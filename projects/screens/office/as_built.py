"""Approved versus as-built: what a change after submission made untrue, named one by one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from projects import paper_registry
from projects.models import PaperIssue
from projects.queries import JobPage
from projects.route.facts import JobFacts
from projects.route.reading import final_passed_on, latest_submission, permit_of, permits_of_another_design
from projects.route.requirements.interconnection import applied_with_another_design
from projects.route.words import PERMIT_NAMES, short_date

FIRST_LOOK = "first_look"
"""A sketch from before the engineering, and meant to be replaced: no change makes it untrue."""
REVIEWS = {
    "electrician_review": "The licensed electrician's review",
    "contractor_review": "The licensed contractor's review",
    "structural_letter": "The structural engineer's letter",
}


@dataclass(frozen=True)
class AsBuilt:
    differs: tuple[str, ...]
    approvals: tuple[str, ...]
    """What was given for the earlier design."""
    papers: tuple[tuple[str, PaperIssue], ...]
    """Title and latest issue of each paper that shows it."""


def as_built(found: JobPage) -> AsBuilt | None:
    """None while everything submitted shows the current design."""
    facts = found.facts
    kinds = permits_of_another_design(facts)
    if not kinds and not applied_with_another_design(facts):
        return None
    return AsBuilt(facts.design_changes, tuple(_approvals(found, facts)), tuple(_papers(found)))


def _approvals(found: JobPage, facts: JobFacts) -> list[str]:
    def on(day: date | None) -> str:
        return short_date(day, facts.today) if day else ""

    broken = []
    for kind in permits_of_another_design(facts):
        permit, latest = permit_of(facts, kind), latest_submission(facts, kind)
        name = PERMIT_NAMES[kind].capitalize()
        if permit is not None and permit.issued_on:
            number = f" {permit.number}" if permit.number else ""
            broken.append(
                f"{name}{number}, issued {on(permit.issued_on)}: no work under it until the revision is issued"
            )
        elif latest is not None:
            broken.append(f"{name}, submitted {on(latest.submitted_on)}")
    side = facts.interconnection
    if applied_with_another_design(facts):
        state = f"approved {on(side.approved_on)}" if side.approved_on else f"submitted {on(side.submitted_on)}"
        broken.append(f"Interconnection application, {state}")
    broken += [REVIEWS[r.key] for r in found.standing.requirements if r.key in REVIEWS and not r.done]
    if passed := final_passed_on(facts):
        broken.append(f"Final inspection, passed {on(passed)}")
    if side.permission_on:
        broken.append(f"Permission to operate, granted {on(side.permission_on)}")
    return broken


def _papers(found: JobPage) -> list[tuple[str, PaperIssue]]:
    newest: dict[str, PaperIssue] = {}
    for paper in found.papers:  # newest first
        newest.setdefault(paper.kind, paper)
    current = found.facts.design_fingerprint
    return [
        (paper_registry.title_of(kind), paper)
        for kind, paper in newest.items()
        if kind != FIRST_LOOK and paper_registry.shows_design(kind) and paper.design_fingerprint != current
    ]
