"""Beside the steps of a job's page: the paper that goes with a step, and what no step asks for by itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from projects.actions.ledger import ledger_of
from projects.actions.schedule import parts_of, terms_of
from projects.models import Job, Permit, Stage
from projects.queries import JobPage
from projects.route.standing_types import Standing
from projects.screens.office.papers import SHOW_THE_DESIGN, belongs
from projects.screens.office.steps import Act, Finder, Step

PAPER_OF_STEP = {
    "application": ("interconnection", "Issue the summary"),
    "install_started": ("crew_sheet", "Issue the crew’s sheet"),
    "handover": ("handover", "Issue the handover packet"),
}
PACKET_OF_PERMIT = {Permit.Kind.BUILDING: "building_packet", Permit.Kind.ELECTRICAL: "electrical_packet"}


def with_papers(steps: Iterable[Step], found: JobPage, finder: Finder) -> list[Step]:
    """The steps, each with a button for its paper as long as none shows the design as it stands."""
    return [_with_paper(step, found, finder) for step in steps]


def _with_paper(step: Step, found: JobPage, finder: Finder) -> Step:
    kind, label = paper_of_step(step.requirement.key, step.requirement.branch, found.job)
    if not kind or found.design is None or found.design.preliminary or _is_out(kind, found):
        return step
    act = finder.paper(label, kind)
    return replace(step, more=(act, *step.more)) if act else step


def paper_of_step(key: str, branch: str, job: Job) -> tuple[str, str]:
    """(kind, words of its button); empty where no paper goes with the step."""
    if branch and key.endswith("_submitted"):
        separate = PACKET_OF_PERMIT.get(Permit.Kind(branch), "permit_packet") if branch in Permit.Kind.values else ""
        return next(
            (kind for kind in (separate, "permit_packet") if kind and belongs(job, kind)), ""
        ), "Issue the packet"
    return PAPER_OF_STEP.get(key, ("", ""))


def _is_out(kind: str, found: JobPage) -> bool:
    latest = next((paper for paper in found.papers if paper.kind == kind), None)
    assert found.design is not None
    return latest is not None and (kind not in SHOW_THE_DESIGN or latest.design_fingerprint == found.design.fingerprint)


def not_told(job: Job, answer: Standing, finder: Finder) -> list[tuple[str, Act]]:
    """What the route and the money rest on, and nobody is asked for: the authorities, a price once it is sold,
    and in the end the invoices."""
    if job.outcome or not finder.person.is_office:
        return []
    found: list[tuple[str, Act | None]] = []
    stages = {requirement.stage for requirement in answer.requirements}
    nobody = []
    if job.jurisdiction is None and "permits" in stages:
        nobody.append("jurisdiction")
    if job.utility is None and job.system_kind and "interconnection" in stages:
        nobody.append("utility")
    if nobody:
        asks = "they ask" if len(nobody) > 1 else "it asks"
        words = f"No {' and no '.join(nobody)} is named: the route and its days are what is usual, not what {asks} for."
        found.append((words, finder.form("Name them" if len(nobody) > 1 else "Name it", "authorities")))
    signed = any(requirement.key == "contract" and requirement.state == "met" for requirement in answer.requirements)
    if signed and job.price_usd is None:
        words = "The contract is signed and no price is set: nothing can be invoiced."
        found.append((words, finder.form("Set the price", "price")))
    if answer.stage == Stage.IN_SERVICE and job.price_usd is not None:
        # No step is left that would lead anybody here again.
        parts = parts_of(job.price_usd, terms_of(job), ledger_of(job), answer)
        left = [f"{part.title}, ${part.amount_usd:,.2f}" for part in parts if part.state == "due"]
        if left:
            words = f"In service, and not invoiced yet: {'; '.join(left)}."
            found.append((words, finder.office_page("To the money", "job-money")))
    return [(words, act) for words, act in found if act]
