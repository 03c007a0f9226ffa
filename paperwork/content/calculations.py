"""The calculation sheet: every line of the study's working, grouped as a plan reviewer reads it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from paperwork.content.block import FROM_MEMORY, title_block
from paperwork.content.single_line import KIND_WORDS
from paperwork.content.single_line_tables import LICENCE_LINES, checks_rows, warnings_for_a_drawing
from paperwork.words import short

REVIEW = "For review by the licensed electrician/engineer; not certified."
GROUPS = (
    ("climate", "Climate and design temperatures"),
    ("roof", "Room for the modules"),
    ("plane", "Sunlight on the planes"),
    ("production", "Array and production"),
    ("loads", "Loads"),
    ("backup", "Running without the grid"),
    ("off_grid", "A year off the grid"),
    ("string", "Strings"),
    ("circuit", "Circuits and conductors"),
    ("interconnection", "Point of connection"),
    ("structure", "Attachment to the roof"),
    ("money", "Bills and loan"),
)
OTHER = "Further working"
BACKUP = ("backup.", "circuit.backup_feeder")
"""Keys of what a grid-tied system never does: to judge it by them would fail what nobody promised."""
UNITS = {
    "C": "°C",
    "1/C": "1/°C",
    "W/m2": "W/m²",
    "kWh/m2": "kWh/m²",
    "kWh/m2 a year": "kWh/m² a year",
    "in2": "in²",
    "ft2": "ft²",
    "m2": "m²",
    "degrees": "°",
}


def figure(value: float) -> str:
    """Four significant digits or whole numbers, never in exponents: 0.872903 -> "0.8729", 13192.8 -> "13,193"."""
    size = abs(value)
    places = 0 if size >= 1000 else 1 if size >= 100 else 2 if size >= 10 else 3 if size >= 1 else 4
    text = short(value, places)
    return "0" if text in ("-0", "") else text.replace("-", "−")


def quantity(value: float | None, unit: str) -> str:
    if value is None:
        return ""
    shown = UNITS.get(unit, unit)
    if shown == "fraction" or not shown:
        return figure(value)
    shown = ONE.get(shown, shown) if value == 1 else shown
    return f"{figure(value)}{'' if shown == '°' else chr(0xA0)}{shown}"


ONE = {"batteries": "battery", "modules": "module", "strings": "string", "inverters": "inverter"}
_AS_PRINTED = (
    (re.compile(r"(?<=\d)( ?)C\b"), r"\1°C"),
    (re.compile(r"\b(in|ft|m)2\b"), r"\1²"),
    (re.compile(r" x (?=[\dA-Z(])"), " × "),
    (re.compile(r"(?<= )- (?=[\d(\w])"), "− "),
    (re.compile(r"(?<![\w.)-])-(?=\d)"), "−"),
)


def printed(text: str) -> str:
    """A line of the working as it is set in print: "62 C" as "62 °C", "0.0211 in2" as "in²", x as ×, a true minus."""
    for plain, sign in _AS_PRINTED:
        text = plain.sub(sign, text)
    return text


def term(one: Mapping[str, Any]) -> str:
    said = f"{one['symbol']} = {quantity(one['value'], one['unit'])}"
    return f"{said} ({printed(one['note'])})" if one["note"] else said


def verdict(passes: bool | None) -> str:
    return {True: "passes", False: "fails", None: ""}[passes]


_SUBSCRIPT = re.compile(r"_([\w&#;]+)")


def lowered(text: str) -> SafeString:
    """Letters after an underscore stand lower: "I_oc"; the text keeps them together for whoever reads it back."""
    return mark_safe(_SUBSCRIPT.sub(r"<sub>\1</sub>", escape(text)))


def working_rows(working: Sequence[Mapping[str, Any]]) -> list[dict[str, str]]:
    return [
        {
            "label": line["label"],
            "formula": lowered(printed(line["formula"])),
            "terms": lowered("; ".join(term(one) for one in line["terms"])),
            "result": quantity(line["result"], line["unit"]),
            "limit": quantity(line["limit"], line["unit"]),
            "word": verdict(line["passes"]),
            "source": line["source"],
            "remark": printed(line["remark"]),
        }
        for line in working
    ]


def groups(working: Sequence[Mapping[str, Any]], only: frozenset[str] | None = None) -> list[dict[str, Any]]:
    """Titled groups in the order of ``GROUPS``; a key that no group knows comes last, so that no line is lost."""
    known = dict(GROUPS)
    found: dict[str, list[Mapping[str, Any]]] = {}
    for line in working:
        head = line["key"].split(".")[0]
        if only is None or head in only:
            found.setdefault(head if head in known else "", []).append(line)
    order = [*known, ""]
    return [
        {"title": known.get(head, OTHER), "rows": working_rows(found[head])} for head in sorted(found, key=order.index)
    ]


def shown_of(working: Sequence[Mapping[str, Any]], kind: str) -> list[Mapping[str, Any]]:
    """The lines that are about a system of this kind."""
    return [line for line in working if kind != "grid_tied" or not line["key"].startswith(BACKUP)]


def calculations(facts: Mapping[str, Any], only: frozenset[str] | None = None) -> dict[str, Any]:
    study = facts["study"]
    licences = {licence["trade"]: licence for licence in facts["licences"]}
    return {
        "facts": facts,
        "head": title_block(facts),
        "kind": KIND_WORDS[facts["system_kind"]].capitalize(),
        "array_kw": short(study["production"]["dc_kw"], 2),
        "review": REVIEW,
        "authority": facts["jurisdiction"] or "the authority having jurisdiction",
        "from_memory": FROM_MEMORY,
        "groups": groups(shown_of(facts["working"], facts["system_kind"]), only),
        # In a packet the single-line's sheets carry the checks already.
        "checks": checks_rows(study) if only is None else [],
        "assumptions": facts["assumptions"],
        "warnings": study["warnings"] if only is None else warnings_for_a_drawing(study),
        "sign": [{"line": line, "licence": licences.get(trade)} for trade, line in LICENCE_LINES],
        "changes": facts.get("changes", []),
    }
