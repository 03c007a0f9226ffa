"""Single-line diagram and summary: landscape, the diagram with its conductor schedule first."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from paperwork.changes import Reader, Shown
from paperwork.content.single_line import KIND_WORDS
from paperwork.content.single_line import single_line as content
from paperwork.content.single_line_tables import conductor_rows, string_rows, times
from paperwork.freeze import single_line_facts
from paperwork.pdf import About, Pdf, lay_out
from paperwork.sources import Sources, design_problems
from paperwork.words import listed, short
from projects.actions.problems import Problem


def problems(sources: Sources) -> list[Problem]:
    found = design_problems(sources)
    if sources.job.site.service_recorded_on is None:
        found.append(
            Problem("service", "The electrical service is not recorded: the diagram shows its panel and breakers.")
        )
    if sources.study_is_current and sources.study is not None:
        failing = [check["label"] for check in sources.study.result["electrical"]["checks"] if not check["passes"]]
        found.extend(Problem("study", f"A design check fails: {label}.") for label in failing)
    return found


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None
    return single_line_facts(sources.job, sources.design, sources.study, common)


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    about = About(
        title=f"Single-line diagram {facts['number']}, {facts['site']['address']}",
        author=facts["firm"]["name"],
        subject="Single-line diagram and schedules, for review by the licensed electrician; not certified",
        created_at=datetime.fromisoformat(facts["at"]),
    )
    return lay_out("single_line", {**content(facts), "preview": preview}, about, landscape=True, paper_size=paper_size)


def _strings(facts: Mapping[str, Any]) -> str:
    return listed(
        [f"{r['strings']} × {r['in_series']} on {r['plane']}, input {r['input']}" for r in string_rows(facts["study"])]
    )


def _circuit(key: str, value: str) -> Reader:
    def read(facts: Mapping[str, Any]) -> str:
        labels = {row["label"]: row for row in conductor_rows(facts["study"])}
        circuits = {c["key"]: c["label"] for c in facts["study"]["electrical"]["circuits"]}
        return labels[circuits[key]][value]

    return read


_CIRCUIT_WORDS = (
    ("pv_source", "PV source circuit"),
    ("pv_output", "PV output circuit"),
    ("inverter_output", "Inverter output"),
    ("battery", "Battery circuit"),
    ("backup_feeder", "Backup feeder"),
    ("generator", "Generator circuit"),
)


def _named(part: str, number: str | None = None) -> Reader:
    def read(facts: Mapping[str, Any]) -> str:
        asked = facts["study"]["request"]
        thing = asked[part]
        if not thing:
            return ""
        units = asked["inverter_count"] if part == "inverter" else thing.get(number, 1) if number else 1
        return f"{units} × {thing['name']}" if units > 1 else thing["name"]

    return read


SHOWN: Shown = (
    ("Name", lambda f: f["customer"]["name"]),
    ("Address", lambda f: f["site"]["address"]),
    ("Kind of system", lambda f: KIND_WORDS[f["system_kind"]]),
    ("Design", lambda f: f"revision {f['design']['revision']}"),
    ("Module", _named("module")),
    ("Array", lambda f: f"{short(f['study']['production']['dc_kw'], 2)} kW"),
    ("Strings", _strings),
    ("Inverter", _named("inverter")),
    ("Battery", _named("battery", "units")),
    ("Generator", _named("generator")),
    ("Service", lambda f: f"{short(f['study']['request']['service']['rating_a'])} A"),
    ("Busbar", lambda f: f"{short(f['study']['request']['service']['busbar_a'])} A"),
    ("Main breaker", lambda f: f"{short(f['study']['request']['service']['main_breaker_a'])} A"),
    (
        "Point of connection",
        lambda f: (
            {"supply_side": "supply side", "busbar_opposite_end": "far end of the busbar"}[
                f["study"]["request"]["service"]["connection"]
            ]
            if f["system_kind"] != "off_grid"
            else ""
        ),
    ),
    (
        "PV breaker",
        lambda f: (
            times(f["study"]["request"]["inverter_count"], f"{short(f['study']['electrical']['backfeed_breaker_a'])} A")
            if f["study"]["electrical"]["backfeed_breaker_a"] is not None
            else ""
        ),
    ),
    *((f"{words}, conductor", _circuit(key, "conductor")) for key, words in _CIRCUIT_WORDS),
    *((f"{words}, overcurrent device", _circuit(key, "device")) for key, words in _CIRCUIT_WORDS),
    ("Code edition", lambda f: f["study"]["request"]["code_edition"]),
)
