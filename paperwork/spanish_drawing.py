"""The as-built drawing in Spanish, for the household: the diagram's labels, its schedules and notes.

Names, ratings and sections of the code read alike in both languages; a line that no word here knows stays as it was.
The drawing that the jurisdiction approved stays in English.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from paperwork.draw.one_line_sheet import Label, OneLine, StringRow
from paperwork.spanish_things import APPLIANCES, DRAWING, check_label, with_appliances

_BOOK = json.loads(Path(__file__).with_suffix(".json").read_text(encoding="utf-8"))
WORDS: dict[str, str] = _BOOK["words"]
_PATTERNS = [(re.compile(english), said) for english, said in _BOOK["patterns"]]
_CARRIES = re.compile(r"carries (.+)")
_MORE = re.compile(r" and (\d+) more loads?$")
BREAKERS = ("pv_breaker", "battery_breaker", "feeder_breaker", "panel_breaker", "main_breaker")
HEADINGS = {
    "conductors": "Conductores",
    "tag": "Letra",
    "circuit": "Circuito",
    "run": "Recorrido",
    "conductor": "Conductores",
    "ground": "Tierra",
    "raceway": "Tubería",
    "current": "Corriente",
    "needed": "Ampacidad necesaria",
    "device": "Protección",
    "length": "Un sentido",
    "drop": "Caída",
    "notes": "Notas",
    "equipment": "Equipos",
    "what": "Equipo",
    "model": "Marca y modelo",
    "number": "Cantidad",
    "ratings": "Valores",
    "strings": "Series",
    "plane": "Techo o suelo",
    "in_series": "Paneles en serie",
    "input": "Entrada del inversor",
    "checks": "Comprobaciones del estudio",
    "check": "Comprobación",
    "value": "Valor",
    "limit": "Límite",
    "result": "Resultado",
    "rule": "Regla",
    "signature": "firma",
    "date": "fecha",
    "licence": "licencia",
    "firm": "empresa",
    "job": "trabajo",
    "for": "para",
    "drawing": "plano",
    "revision": "revisión",
    "sheet": "hoja",
    "standing": "estado",
    "review": "para el dueño de la casa;",
    "certified": "no certificado",
}
SHUTDOWN = "Apagado rápido (RS)"
MORE_ROWS = "y {n} grupos de series más, en la tabla de series"


def said(text: str) -> str:
    """One text of the drawing; what stands within another is said by the same words."""
    if text in WORDS:
        return WORDS[text]
    if text in APPLIANCES:
        return APPLIANCES[text]
    if (device := _device(text)) is not None:
        return device
    if found := _CARRIES.fullmatch(text):
        loads = with_appliances(_MORE.sub(r" y \1 más", found[1]))
        return f"lleva {loads.replace(' and ', ' y ')}"
    for pattern, spanish in _PATTERNS:
        if found := pattern.fullmatch(text):
            return str(spanish).format(*(said(part) if part else "" for part in found.groups()))
    return text


def _device(text: str) -> str | None:
    """A device by its name, however it begins."""
    for english, spanish in DRAWING.items():
        if text == english:
            return spanish[:1].upper() + spanish[1:]
        if text == english[:1].lower() + english[1:]:
            return spanish
    return {"Generator disconnect": "Desconectador del generador", "DC disconnect": "desconectador DC"}.get(text)


def plan_in_spanish(plan: OneLine, title: str) -> OneLine:
    changes: dict[str, Any] = {
        field.name: Label(said(label.title), tuple(map(said, label.lines)))
        for field in fields(plan)
        if isinstance(label := getattr(plan, field.name), Label)
    }
    return replace(
        plan,
        **changes,
        **{key: said(getattr(plan, key)) for key in BREAKERS},
        title=title,
        rows=tuple(StringRow(row.title, said(row.note)) for row in plan.rows),
        rapid_shutdown=said(plan.rapid_shutdown),
        shutdown_title=SHUTDOWN,
        more_rows=MORE_ROWS,
    )


def schedules_in_spanish(content: Mapping[str, Any]) -> dict[str, Any]:
    """What stands beside the diagram."""
    return {
        "w": HEADINGS,
        "conductors": [
            {**row, **{key: said(row[key]) for key in ("label", "run", "device")}} for row in content["conductors"]
        ],
        "equipment": [
            {**row, **{key: said(row[key]) for key in ("device", "name", "ratings")}} for row in content["equipment"]
        ],
        "checks": [
            {
                **row,
                "label": _begun(check_label(row["label"], "es")),
                **{key: said(row[key]) for key in ("value", "limit", "word", "source")},
            }
            for row in content["checks"]
        ],
        "notes": [said(note) for note in content["notes"]],
        "sign": [{**line, "line": said(line["line"])} for line in content["sign"]],
    }


def _begun(text: str) -> str:
    return text[:1].upper() + text[1:]
