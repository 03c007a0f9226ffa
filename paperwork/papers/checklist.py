"""Customer checklist for the stage the job is in, from its standing; in the customer's language."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from paperwork.changes import Shown
from paperwork.content.checklist import checklist as content
from paperwork.content.checklist import steps_of
from paperwork.content.checklist_otherwise import stage_words
from paperwork.content.checklist_stages import PAGE_WORDS, STAGE_WORDS
from paperwork.freeze import checklist_facts
from paperwork.pdf import About, CannotLayOut, Pdf, lay_out, lay_out_on
from paperwork.sources import Sources, common_problems
from projects.actions.problems import Problem


def problems(sources: Sources) -> list[Problem]:
    found = common_problems(sources)
    if sources.job.outcome:
        found.append(Problem("", "The job is closed: there is nothing for the customer to do."))
    return found


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    return checklist_facts(sources.job, common)


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    language = facts["customer"]["language"]
    heading, stage = PAGE_WORDS[language]["heading"], stage_words(facts)
    about = About(
        title=f"{heading} {facts['number']}: {stage.title}",
        author=facts["firm"]["name"],
        subject=stage.happens,
        created_at=datetime.fromisoformat(facts["at"]),
        language=language,
    )
    said = {**content(facts), "preview": preview}
    densities = ({**said, "density": density} for density in ("", "compact", "compact close"))
    try:
        return lay_out_on(1, "checklist", densities, about, paper_size=paper_size)
    except CannotLayOut:
        return lay_out("checklist", said, about, paper_size=paper_size)


def _steps(facts: Mapping[str, Any]) -> str:
    return "; ".join(f"{step['text']} ({step['who']}, {step['when']})" for step in steps_of(facts))


SHOWN: Shown = (
    ("Name", lambda f: f["customer"]["name"]),
    ("Address", lambda f: f["site"]["address"]),
    ("Language", lambda f: {"en": "English", "es": "Spanish"}[f["customer"]["language"]]),
    ("Stage", lambda f: STAGE_WORDS[f["standing"]["stage"]]["en"].title),
    ("Open steps", _steps),
)
