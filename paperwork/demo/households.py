"""Reads ``fixtures/demo``: the office as a dict, the households as records."""

from __future__ import annotations

import csv
import json
import re
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from django.conf import settings

from paperwork.demo.roofs import COMPASS, planes_of

HERE: Path = settings.BASE_DIR / "fixtures" / "demo"

TREES: dict[str, dict[str, Any]] = {
    "oak": {"kind": "tree", "distance_m": 15, "height_m": 13, "width_m": 9, "crown_base_m": 3},
    "pine": {"kind": "tree", "distance_m": 17, "height_m": 18, "width_m": 6, "crown_base_m": 6, "evergreen": True},
    # a crown that the sun comes through, watched over a year
    "pecan": {
        "kind": "tree",
        "distance_m": 14,
        "height_m": 12,
        "width_m": 8,
        "crown_base_m": 3,
        "transmittance_leaf_on": 0.25,
        "transmittance_leaf_off": 0.65,
        "leaf_months": [5, 6, 7, 8, 9, 10],
        "note": "Pecan",
    },
    "house": {"kind": "building", "distance_m": 14, "height_m": 8, "width_m": 12},
}
STORAGE: dict[str, dict[str, Any]] = {
    "battery_garage": {"location": "attached_garage", "unit_gap_m": 0.95, "vehicle_guarded": True},
    "battery_outside": {
        "location": "outdoors",
        "unit_gap_m": 1.0,
        "opening_gap_m": 1.4,
        "vehicle_guarded": True,
    },
}
"""By option."""


@dataclass(frozen=True)
class Household:
    name: str
    street: str
    town: str
    kind: str
    until: str
    rested_days: int
    options: frozenset[str]
    must_run: tuple[str, ...]
    yearly_kwh: float
    goal: str
    loan: bool
    planes: tuple[dict[str, Any], ...]
    """The first carries the modules."""
    obstructions: tuple[dict[str, Any], ...]
    module: str
    modules: int
    inverter: str
    battery: str
    batteries: int
    price_usd: Decimal | None
    source: str
    language: str
    outage_days: float

    @property
    def storage(self) -> dict[str, Any]:
        """Where the battery stands, where the office has decided it."""
        return next((dict(STORAGE[option]) for option in STORAGE if option in self.options), {})

    @property
    def email(self) -> str:
        return re.sub(r"[^a-z]+", ".", self.name.lower()).strip(".") + "@mail.example"


def office() -> dict[str, Any]:
    return json.loads((HERE / "office.json").read_text(encoding="utf-8"))


def households() -> list[Household]:
    with (HERE / "households.csv").open(encoding="utf-8", newline="") as lines:
        return [_household(row) for row in csv.DictReader(lines)]


def _household(row: dict[str, str]) -> Household:
    return Household(
        name=row["name"],
        street=row["street"],
        town=row["town"],
        kind=row["kind"],
        until=row["until"],
        rested_days=int(row["rested"]),
        options=frozenset(row["options"].split()),
        must_run=tuple(row["must_run"].split()),
        yearly_kwh=float(row["yearly_kwh"]),
        goal=row["goal"],
        loan=row["loan"] == "yes",
        planes=tuple(planes_of(row["planes"])),
        obstructions=tuple(_obstruction(code) for code in row["trees"].split()),
        module=row["module"],
        modules=int(row["modules"] or 0),
        inverter=row["inverter"],
        battery=row["battery"],
        batteries=int(row["batteries"] or 0),
        price_usd=Decimal(row["price"]) if row["price"] else None,
        source=row["source"],
        language=row["language"],
        outage_days=float(row["outage_days"]),
    )


def _obstruction(code: str) -> dict[str, Any]:
    bearing, what = code.split("-")
    return {"bearing_deg": COMPASS[bearing], **TREES[what]}
