"""Calculation sheet: the working of the study, on as many upright sheets as it takes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from paperwork.changes import Reader, Shown
from paperwork.content.calculations import calculations as content
from paperwork.content.calculations import quantity
from paperwork.freeze import calculation_facts
from paperwork.papers import single_line
from paperwork.pdf import About, Pdf, lay_out
from paperwork.sources import Sources, design_problems
from projects.actions.problems import Problem


def problems(sources: Sources) -> list[Problem]:
    found = design_problems(sources)
    if not found and sources.study is not None and not sources.study.result["working"]:
        found.append(Problem("study", "The study carries no working: run the study again."))
    return found


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None
    return calculation_facts(sources.job, sources.design, sources.study, common)


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    about = About(
        title=f"Calculation sheet {facts['number']}, {facts['site']['address']}",
        author=facts["firm"]["name"],
        subject="Working of the study, for review by the licensed electrician or engineer; not certified",
        created_at=datetime.fromisoformat(facts["at"]),
    )
    return lay_out("calculations", {**content(facts), "preview": preview}, about, paper_size=paper_size)


def _result(key: str) -> Reader:
    def read(facts: Mapping[str, Any]) -> str:
        return next((quantity(w["result"], w["unit"]) for w in facts["working"] if w["key"] == key), "")

    return read


_KEY_FIGURES = (
    ("climate.record_low", "Record low"),
    ("climate.high_2pct", "Summer design temperature"),
    ("string.voc_cold", "Coldest open-circuit voltage"),
    ("string.vmp_hot", "Operating voltage on a hot day"),
    ("production.ac_kwh_year", "Energy at the meter"),
    ("interconnection.busbar", "Main breaker and inverters on the busbar"),
)

SHOWN: Shown = (
    *single_line.SHOWN,
    *((label, _result(key)) for key, label in _KEY_FIGURES),
)
