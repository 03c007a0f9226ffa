"""Schedules of payment as the demo's file has them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from paperwork.demo.households import Household
from projects.actions.payment_terms import ScheduleLine


def schedule(parts: Sequence[Mapping[str, str]]) -> list[ScheduleLine]:
    return [
        ScheduleLine(row["title"], row["fact"], Decimal(row["percent"]), place)
        for place, row in enumerate(parts, start=1)
    ]


def own_parts(household: Household) -> str:
    """Name of the schedule that a household asked for, in the file; empty where the office's usual one holds.

    Off the grid nobody's permission is waited for, so that such a job is paid by what stands on the yard.
    """
    if household.kind == "off_grid":
        return "parts_off_grid"
    return "parts_two" if "two_parts" in household.options else ""
