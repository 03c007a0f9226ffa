"""Trip settings that an interconnection application and a witness test ask for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sizing.electrical.tables import table

Category = Literal["I", "II", "III"]


@dataclass(frozen=True)
class TripSetting:
    function: str
    """OV2, OV1, UV1, UV2 (voltage), OF2, OF1, UF1, UF2 (frequency)."""
    threshold: float
    unit: str
    clearing_s: float


def default_trip_settings(category: Category) -> tuple[TripSetting, ...]:
    """Default settings of a category, voltages first. Source: IEEE 1547-2018 Tables 11 to 13 and 18.

    The utility may set others within the ranges of adjustability; its list goes before this one.
    """
    return tuple(
        TripSetting(row["function"], float(row["threshold"]), row["unit"], float(row["clearing_s"]))
        for row in table("grid_trip")
        if row["category"] in (category, "all")
    )
