"""A utility's energy prices by block of a month's use, or by time of use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from django.db import transaction

from projects.actions import profiles
from projects.actions.findings import Findings
from projects.actions.roles import OFFICE, require
from projects.models import Person, Utility

MOST_ROWS = 12
MOST_USD_PER_KWH = 5.0
DAYS = ("all", "weekdays", "weekends")
PERIOD_KEYS = frozenset({"name", "usd_per_kwh", "export_usd_per_kwh", "from_hour", "to_hour", "months", "days"})


def save_prices(
    *,
    actor: Person,
    utility: Utility,
    blocks: Sequence[Mapping[str, Any]] = (),
    periods: Sequence[Mapping[str, Any]] = (),
) -> Utility:
    """Replaces both lists. ``blocks``: kwh, usd_per_kwh; ``periods``: name, usd_per_kwh, export_usd_per_kwh (or None),
    from_hour, to_hour, months (empty: all year), days. Problems name "block_0_kwh", "period_2_to_hour" and so on.
    """
    require(actor, OFFICE)
    with transaction.atomic():
        findings = Findings()
        if blocks and periods:
            findings.add("", "A tariff has blocks or hours with their own price, not both.")
        for key, rows in (("block", blocks), ("period", periods)):
            if len(rows) > MOST_ROWS:
                findings.add("", f"At most {MOST_ROWS} {key}s.")
        for n, row in enumerate(blocks):
            if not _between(row["kwh"], 0.001, 100_000):
                findings.add(f"block_{n}_kwh", "kWh, above 0.")
            _price(findings, f"block_{n}_usd_per_kwh", row["usd_per_kwh"])
        for n, row in enumerate(periods):
            _period(findings, f"period_{n}", row)
        findings.refuse()
        profiles.save_utility(
            actor=actor,
            instance=utility,
            energy_blocks=[_plain(row) for row in blocks],
            rate_periods=[_plain(row) for row in periods],
        )
    return utility


def _period(findings: Findings, where: str, row: Mapping[str, Any]) -> None:
    if set(row) != PERIOD_KEYS:
        raise TypeError(f"a period has {', '.join(sorted(PERIOD_KEYS))}")
    findings.need(f"{where}_name", row["name"], "Give it a name.")
    _price(findings, f"{where}_usd_per_kwh", row["usd_per_kwh"])
    if row["export_usd_per_kwh"] is not None:
        _price(findings, f"{where}_export_usd_per_kwh", row["export_usd_per_kwh"])
    for key in ("from_hour", "to_hour"):
        if not isinstance(row[key], int) or not 0 <= row[key] <= 24:
            findings.add(f"{where}_{key}", "A full hour, 0 to 24.")
    if row["from_hour"] == row["to_hour"]:
        findings.add(f"{where}_to_hour", "It ends when it begins; 0 to 24 is the whole day.")
    if any(not isinstance(month, int) or not 1 <= month <= 12 for month in row["months"]):
        findings.add(f"{where}_months", "Months are numbered 1 to 12.")
    if row["days"] not in DAYS:
        findings.add(f"{where}_days", "Every day, weekdays or weekends.")


def _price(findings: Findings, field: str, value: Any) -> None:
    if not _between(value, 0, MOST_USD_PER_KWH):
        findings.add(field, f"Dollars a kWh, 0 to {MOST_USD_PER_KWH:g}.")


def _between(value: Any, low: float, high: float) -> bool:
    return isinstance(value, int | float | Decimal) and low <= float(value) <= high


def _plain(row: Mapping[str, Any]) -> dict[str, Any]:
    return {
        key: float(value) if isinstance(value, Decimal) else list(value) if isinstance(value, tuple) else value
        for key, value in row.items()
    }
