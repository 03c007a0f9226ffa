"""Crew job sheet with the inspection-day checklist."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from paperwork.changes import Shown
from paperwork.content.crew_sheet import crew_sheet as content
from paperwork.freeze_crew import crew_facts
from paperwork.papers import single_line
from paperwork.papers.roof_plan import roof_problems
from paperwork.pdf import About, Pdf, lay_out
from paperwork.sources import Sources
from projects.actions.problems import Problem


def problems(sources: Sources) -> list[Problem]:
    found = single_line.problems(sources) + roof_problems(sources)
    if sources.design is not None and sources.design.preliminary:
        found.append(Problem("design", "The design is the first look's sketch: save an engineered design first."))
    return found


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    return crew_facts(sources, common)


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    about = About(
        title=f"Crew job sheet {facts['number']}, {facts['site']['address']}",
        author=facts["firm"]["name"],
        subject="Parts, circuits, tests to record and the inspection-day checklist; not certified",
        created_at=datetime.fromisoformat(facts["at"]),
    )
    return lay_out("crew_sheet", {**content(facts), "preview": preview}, about, paper_size=paper_size)


SHOWN: Shown = (
    *single_line.SHOWN,
    ("Days", lambda f: "; ".join(f"{what} {on}" for what, on in f["booked"])),
    ("Permits", lambda f: "; ".join(f"{p['kind']} {p['number']}" for p in f["permits"])),
    ("Differs from the approved plans", lambda f: "; ".join(f["differs"])),
)
