"""Common appliances to start a load worksheet from."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import cast

from sizing.study.request import Appliance, ApplianceKind, Tier


@dataclass(frozen=True)
class LibraryItem:
    key: str
    """Stays the same for good: saved answers name it."""
    appliance: Appliance
    source: str
    """Where its figures come from; "common practice" has no source and gives way to the nameplate."""
    note: str = ""
    """What to look at on the real one."""


@cache
def appliance_library() -> tuple[LibraryItem, ...]:
    """Every appliance of ``appliances.csv`` in its order."""
    text = resources.files("sizing.loads").joinpath("appliances.csv").read_text(encoding="utf-8")
    return tuple(_item(row) for row in csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def _item(row: dict[str, str]) -> LibraryItem:
    def number(name: str) -> float | None:
        return float(row[name]) if row[name] else None

    appliance = Appliance(
        name=row["name"],
        kind=cast(ApplianceKind, row["kind"]),
        watts=float(row["watts"]),
        hours_per_day=float(row["hours_per_day"]),
        tier=cast(Tier, row["tier"]),
        months=tuple(int(month) for month in row["months"].split(",") if month),
        voltage_v=float(row["voltage_v"]),
        locked_rotor_a=number("locked_rotor_a"),
        starting_w=number("starting_w"),
        horsepower=number("horsepower"),
        code_letter=row["code_letter"] or None,
    )
    return LibraryItem(row["key"], appliance, row["source"], row["note"])
