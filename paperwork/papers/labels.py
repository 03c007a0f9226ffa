"""Label sheet: warning texts at printed size, for the shop that makes the labels and the inspector who reads them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from paperwork.changes import Reader, Shown
from paperwork.content.labels import label_sheet as content
from paperwork.freeze import label_facts, single_line_facts
from paperwork.pdf import About, Pdf, lay_out
from paperwork.sources import Sources, design_problems
from projects.actions.problems import Problem


def problems(sources: Sources) -> list[Problem]:
    found = design_problems(sources)
    if sources.study_is_current and sources.study is not None and not sources.study.result["electrical"]["circuits"]:
        found.append(Problem("study", "The study has sized no circuit: labels carry their currents and voltages."))
    return found


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None
    return {
        **single_line_facts(sources.job, sources.design, sources.study, common),
        "labels": label_facts(sources.study),
    }


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    about = About(
        title=f"Label sheet {facts['number']}, {facts['site']['address']}",
        author=facts["firm"]["name"],
        subject="Labels and placards with the design's figures; wording to be checked against the adopted code",
        created_at=datetime.fromisoformat(facts["at"]),
    )
    return lay_out("labels", {**content(facts), "preview": preview}, about, paper_size=paper_size)


def _text(key: str) -> Reader:
    def read(facts: Mapping[str, Any]) -> str:
        return next((" / ".join(label["text"]) for label in facts["labels"] if label["key"] == key), "")

    return read


SHOWN: Shown = (
    ("Name", lambda f: f["customer"]["name"]),
    ("Address", lambda f: f["site"]["address"]),
    ("Design", lambda f: f"revision {f['design']['revision']}"),
    ("DC disconnect", _text("dc_disconnect")),
    ("DC raceways", _text("dc_raceway")),
    ("Rapid shutdown", _text("rapid_shutdown")),
    ("Storage disconnect", _text("battery_disconnect")),
    ("AC disconnect", _text("ac_disconnect")),
    ("Power sources", _text("sources")),
    ("Breaker of the inverters", _text("breaker")),
    ("Critical-loads panel", _text("backup_panel")),
    ("Plaque outside", _text("stand_alone")),
    ("Code edition", lambda f: f["study"]["request"]["code_edition"]),
)
