"""Interconnection application summary, with the single-line diagram behind it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from paperwork.changes import Shown
from paperwork.content.interconnection import TARIFFS
from paperwork.content.interconnection import interconnection as content
from paperwork.content.machine import machine_facts
from paperwork.content.single_line import single_line as single_line_content
from paperwork.freeze_utility import interconnection_facts
from paperwork.papers import single_line
from paperwork.pdf import About, Pdf, Sheet, lay_out_packet
from paperwork.sources import Sources
from projects.actions.problems import Problem


def problems(sources: Sources) -> list[Problem]:
    found = single_line.problems(sources)
    if sources.job.system_kind == "off_grid":
        found.append(Problem("", "An off-grid system is not connected to a utility: there is nothing to apply for."))
    elif sources.job.utility is None:
        found.append(Problem("authorities", "No utility is set: the application goes to it."))
    return found


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    return interconnection_facts(sources, common)


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    about = About(
        title=f"Interconnection application summary {facts['number']}, {facts['site']['address']}",
        author=facts["firm"]["name"],
        subject=f"Summary for {facts['utility']} with the single-line diagram; not certified",
        created_at=datetime.fromisoformat(facts["at"]),
        data=machine_facts(facts),
    )
    drawing = {**single_line_content({**facts, "changes": []}), "preview": preview}
    return lay_out_packet(
        lambda parts: Sheet(
            "interconnection", {**content(facts), "parts": parts, "preview": preview}, "Application summary"
        ),
        [Sheet("single_line", drawing, "Single-line diagram and schedules", True)],
        about,
        number=facts["number"],
        paper_size=paper_size,
    )


SHOWN: Shown = (
    *single_line.SHOWN,
    ("Utility", lambda f: f["utility_profile"]["name"]),
    ("Asked for", lambda f: TARIFFS[f["utility_profile"]["tariff_kind"]]),
    ("Application", lambda f: f["application"]["number"]),
    ("Level", lambda f: str(f["application"]["level"])),
    ("Telephone", lambda f: f["contact"]["phone"]),
    ("E-mail", lambda f: f["contact"]["email"]),
)
