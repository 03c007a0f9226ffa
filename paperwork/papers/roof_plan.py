"""Roof plan to scale, one landscape sheet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.conf import settings

from paperwork.changes import Shown
from paperwork.content.roof_plan import carrying, plan_title
from paperwork.content.roof_plan import roof_plan as content
from paperwork.freeze import single_line_facts
from paperwork.freeze_packet import bare_planes, profile_facts, roof_facts
from paperwork.freeze_structure import structure_facts
from paperwork.pdf import About, Pdf, lay_out
from paperwork.sources import Sources, design_problems
from projects.actions.problems import Problem


def problems(sources: Sources) -> list[Problem]:
    return design_problems(sources) + roof_problems(sources)


def roof_problems(sources: Sources) -> list[Problem]:
    """What keeps back every paper that shows or builds on the layout; empty where another problem comes first."""
    if sources.study is None or not sources.study_is_current:
        return []
    roof = sources.study.result.get("roof")
    if roof is None:
        return [Problem("study", "The study has no roof layout: run the study again.")]
    return [
        Problem("roof", f"A roof check fails: {check['label']} ({check['value']}, {check['limit']}).")
        for check in roof["checks"]
        if not check["passes"]
    ]


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None
    authority = sources.job.jurisdiction
    return {
        **single_line_facts(sources.job, sources.design, sources.study, common),
        "roof_layout": sources.study.result.get("roof"),
        "bare_planes": bare_planes(sources),
        "structure": structure_facts(roof_facts(sources), sources.study.result, profile_facts(authority))
        if authority
        else None,
    }


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    size = paper_size or settings.PAPER_SIZE
    about = About(
        title=f"{plan_title(facts['study'])} {facts['number']}, {facts['site']['address']}",
        author=facts["firm"]["name"],
        subject=f"{plan_title(facts['study'])} to scale, for review by those licensed to; not certified",
        created_at=datetime.fromisoformat(facts["at"]),
    )
    return lay_out("roof_plan", {**content(facts, size), "preview": preview}, about, landscape=True, paper_size=size)


SHOWN: Shown = (
    ("Name", lambda f: f["customer"]["name"]),
    ("Address", lambda f: f["site"]["address"]),
    ("Design", lambda f: f"revision {f['design']['revision']}"),
    ("Modules", lambda f: "; ".join(f"{plan.name} {len(plan.spots)}" for plan in carrying(f))),
    ("Attachments", lambda f: "; ".join(f"{plan.name} {len(plan.attachments)}" for plan in carrying(f))),
    ("Kept clear", lambda f: f["roof_layout"]["code"]),
    ("Standing around", lambda f: ", ".join(o["kind"] for o in f["study"]["request"]["obstructions"])),
)
