"""Roof plan to scale, one landscape sheet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.conf import settings

from paperwork.changes import Shown
from paperwork.content.roof_plan import plans_of
from paperwork.content.roof_plan import roof_plan as content
from paperwork.freeze import single_line_facts
from paperwork.pdf import About, Pdf, lay_out
from paperwork.sources import Sources, design_problems
from projects.actions.problems import Problem


def problems(sources: Sources) -> list[Problem]:
    found = design_problems(sources)
    if sources.study_is_current and sources.study is not None:
        roof = sources.study.result.get("roof") or {"checks": []}
        found += [Problem("", f"A roof check fails: {c['label']}.") for c in roof["checks"] if not c["passes"]]
    return found


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None
    return {
        **single_line_facts(sources.job, sources.design, sources.study, common),
        "roof_layout": sources.study.result.get("roof"),
    }


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    size = paper_size or settings.PAPER_SIZE
    about = About(
        title=f"Roof plan {facts['number']}, {facts['site']['address']}",
        author=facts["firm"]["name"],
        subject="Roof plan to scale, for review by those licensed to; not certified",
        created_at=datetime.fromisoformat(facts["at"]),
    )
    return lay_out("roof_plan", {**content(facts, size), "preview": preview}, about, landscape=True, paper_size=size)


SHOWN: Shown = (
    ("Name", lambda f: f["customer"]["name"]),
    ("Address", lambda f: f["site"]["address"]),
    ("Design", lambda f: f"revision {f['design']['revision']}"),
    ("Modules", lambda f: "; ".join(f"{plan.name} {len(plan.spots)}" for plan in plans_of(f))),
    ("Kept clear", lambda f: f["roof_layout"]["code"] if f["roof_layout"] else ""),
    ("Standing around", lambda f: ", ".join(o["kind"] for o in f["study"]["request"]["obstructions"])),
)
