"""First-look report: always exactly one page."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.conf import settings

from paperwork.changes import Shown
from paperwork.content.first_look import DENSITIES, DRAWING_HEIGHTS, KIND_TITLES
from paperwork.content.first_look import first_look as content
from paperwork.content.first_look_fit import first_to_try
from paperwork.freeze import first_look_facts
from paperwork.pdf import About, Pdf, lay_out_on
from paperwork.sources import Sources, design_problems
from paperwork.words import carried, short, usd, whole
from projects.actions.problems import Problem

COLUMN_POINTS = {"letter": 248.0, "a4": 239.0}
"""Width of a column's drawings."""


def problems(sources: Sources) -> list[Problem]:
    return design_problems(sources)


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None
    return first_look_facts(sources.job, sources.design, sources.study, common)


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    size = paper_size or settings.PAPER_SIZE
    column = COLUMN_POINTS[size]

    def said(density: int, drawn: bool = True) -> dict[str, Any]:
        return {**content(facts, density, column, drawn=drawn), "preview": preview}

    every = range(len(DENSITIES))
    start = first_to_try((said(density, drawn=False) for density in every), DRAWING_HEIGHTS, column, size)
    return lay_out_on(1, "first_look", map(said, every[start:]), about(facts), paper_size=size)


def about(facts: Mapping[str, Any]) -> About:
    language = facts["customer"]["language"]
    return About(
        title=f"Primer vistazo {facts['number']} para {facts['customer']['name']}"
        if language == "es"
        else f"First-look report {facts['number']} for {facts['customer']['name']}",
        author=facts["firm"]["name"],
        subject="Análisis preliminar de un sistema solar y de respaldo; no es una oferta"
        if language == "es"
        else "Preliminary analysis of a solar and backup system; not an offer",
        created_at=datetime.fromisoformat(facts["at"]),
        language=language,
    )


def _month(facts: Mapping[str, Any], key: str) -> str:
    money = facts["study"]["money"]
    return f"{usd(money[key] / 12)} a month" if money else ""


def _median(facts: Mapping[str, Any]) -> str:
    ride = facts["study"]["ride_through"]
    return carried(ride["median_hours"], ride["horizon_hours"]) if ride else ""


def _battery(facts: Mapping[str, Any]) -> str:
    battery = facts["study"]["request"]["battery"]
    return f"{short(battery['usable_kwh'] * battery['units'])} kWh" if battery else ""


SHOWN: Shown = (
    ("Name", lambda f: f["customer"]["name"]),
    ("Address", lambda f: f["site"]["address"]),
    ("Kind of system", lambda f: KIND_TITLES[f["system_kind"]].lower()),
    ("Design", lambda f: f"revision {f['design']['revision']}"),
    ("Array", lambda f: f"{short(f['study']['production']['dc_kw'])} kW"),
    ("Battery", _battery),
    ("Production in a typical year", lambda f: f"{whole(f['study']['production']['ac_kwh_year'])} kWh"),
    ("Use in a year", lambda f: f"{whole(f['study']['loads']['use_kwh_year'])} kWh"),
    ("Lights stay on, typically", _median),
    ("Bill today", lambda f: _month(f, "bill_before_year_usd")),
    ("Bill after", lambda f: _month(f, "bill_after_year_usd")),
    (
        "Loan payment",
        lambda f: (
            f"{usd(f['study']['money']['loan_payment_usd'])} a month"
            if f["study"]["money"] and f["study"]["money"]["loan_payment_usd"] is not None
            else ""
        ),
    ),
    ("Preliminary price", lambda f: usd(f["price_usd"]) if f["price_usd"] else ""),
    ("Site visit", lambda f: "done" if f["visited"] else "not yet"),
    ("Weather", lambda f: f["study"]["climate"]["name"]),
    ("Must run", lambda f: ", ".join(a["name"] for a in f["study"]["loads"]["appliances"] if a["tier"] == "must_run")),
)
