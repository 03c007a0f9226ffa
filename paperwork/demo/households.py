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

HERE: Path = settings.BASE_DIR / "fixtures" / "demo"

COMPASS = {"N": 0, "NE": 45, "E": 90, "SE": 135, "S": 180, "SW": 225, "W": 270, "NW": 315}
TREES: dict[str, dict[str, Any]] = {
    "oak": {"kind": "tree", "distance_m": 15, "height_m": 13, "width_m": 9, "crown_base_m": 3},
    "pine": {"kind": "tree", "distance_m": 17, "height_m": 18, "width_m": 6, "crown_base_m": 6, "evergreen": True},
    "house": {"kind": "building", "distance_m": 14, "height_m": 8, "width_m": 12},
}


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
    plane: dict[str, Any] | None
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
        plane=_plane(row["planes"]),
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


def _plane(code: str) -> dict[str, Any] | None:
    """ "S30x11.5": faces south, 30 degrees steep, 11.5 m wide; G for a ground mount facing south."""
    if not code:
        return None
    facing, tilt, width = re.fullmatch(r"([A-Z]+)(\d+)x([\d.]+)", code).groups()
    ground = facing == "G"
    return {
        "name": "Ground mount" if ground else f"{facing} roof",
        "azimuth_deg": 180 if ground else COMPASS[facing],
        "tilt_deg": float(tilt),
        "width_m": float(width),
        "slope_length_m": 4.2 if ground else 5.6,
        "eave_height_m": 0.8 if ground else 3.0,
        "y_m": -18.0 if ground else -3.0,
        "rafter_spacing_m": None if ground else 0.61,
        "covering": "ground" if ground else "shingle",
        "age_years": None if ground else 9,
    }


def _obstruction(code: str) -> dict[str, Any]:
    bearing, what = code.split("-")
    return {"bearing_deg": COMPASS[bearing], **TREES[what]}
