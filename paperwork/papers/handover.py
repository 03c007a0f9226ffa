"""Handover packet: for the customer to keep, once the system may run."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from paperwork.changes import Shown
from paperwork.content.handover import cover_sheet, handover_sheets
from paperwork.content.handover_words import SUBJECT, TITLE
from paperwork.content.machine import machine_facts
from paperwork.freeze_handover import handover_facts
from paperwork.papers import single_line
from paperwork.pdf import About, Pdf, lay_out_packet
from paperwork.sources import Sources
from projects.actions.problems import Problem
from projects.actions.standing import standing_of

NEEDS = (
    "permits_match_design",
    "commissioning_tests",
    "final_passed",
    "final_check",
    "permission",
    "switched_on",
)
"""Requirements of the route that must be done, those of them that this job has."""


def problems(sources: Sources) -> list[Problem]:
    found = single_line.problems(sources)
    if sources.design is not None and sources.design.preliminary:
        found.append(Problem("design", "The design is the first look's sketch: save an engineered design first."))
    if sources.profile is not None and not sources.profile.phone:
        found.append(Problem("firm", "The office's telephone number is not set: the packet says whom to call."))
    found += [
        Problem("", f"Not done yet: {requirement.sentence[:1].lower()}{requirement.sentence[1:]}.")
        for requirement in standing_of(sources.job).requirements
        if requirement.key in NEEDS and not requirement.done
    ]
    return found


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    return handover_facts(sources, common)


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    language = facts["customer"]["language"]
    title = TITLE[1 if language == "es" else 0]
    about = About(
        title=f"{title} {facts['number']}, {facts['site']['address']}",
        author=facts["firm"]["name"],
        subject=SUBJECT[1 if language == "es" else 0],
        created_at=datetime.fromisoformat(facts["at"]),
        data=machine_facts(facts),
        language=language,
    )
    return lay_out_packet(
        lambda parts: cover_sheet(facts, parts, preview),
        handover_sheets(facts, preview),
        about,
        number=facts["number"],
        paper_size=paper_size,
    )


def _warranties(facts: Mapping[str, Any]) -> str:
    return "; ".join(f"{row['covers']} until {row['ends_on']}" for row in facts["warranties"]["rows"])


SHOWN: Shown = (
    *single_line.SHOWN,
    ("Switched on", lambda f: f["days"]["switched_on"] or ""),
    ("Permission to operate", lambda f: f"{f['permission']['number']} {f['permission']['granted_on']}".strip()),
    ("Warranties", _warranties),
    ("Telephone", lambda f: f["firm"]["phone"]),
)
