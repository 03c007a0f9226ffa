"""What a household said, cleaned; used by the actions of intake."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from projects.actions.findings import Findings
from projects.models import DoItYourself, Goal, LeadAnswers, Site
from projects.route import system_kind as route_kind

FIELDS = frozenset(field.name for field in LeadAnswers._meta.concrete_fields) - {"id", "job"}
MOST_KWH_A_MONTH = 50_000
LONGEST_OUTAGE_DAYS = 60


def cleaned(findings: Findings, changes: Mapping[str, Any]) -> dict[str, Any]:
    """Columns of LeadAnswers, of the given ones only."""
    unknown = sorted(set(changes) - FIELDS)
    if unknown:
        raise TypeError(f"no such answer: {', '.join(unknown)}")
    said = dict(changes)
    if "must_run" in said:
        said["must_run"] = [str(item).strip() for item in said["must_run"] or [] if str(item).strip()]
    if "goal" in said and said["goal"] not in ("", *Goal.values):
        findings.add("goal", "Choose backup or payback.")
    if "monthly_kwh" in said:
        said["monthly_kwh"] = _months(findings, said["monthly_kwh"])
    if said.get("yearly_kwh") is not None and not _within(said["yearly_kwh"], 0, 12 * MOST_KWH_A_MONTH):
        findings.add("yearly_kwh", "A year's use in kWh, above 0.")
    years = said.get("warranty_years_wanted")
    if years is not None and not 0 <= years <= 40:
        findings.add("warranty_years_wanted", "Between 0 and 40 years.")
    if "diy_comfort" in said and said["diy_comfort"] not in DoItYourself.values:
        findings.add("diy_comfort", "Choose none, some or much.")
    if "outage_days_wanted" in said and not _within(said["outage_days_wanted"], 0, LONGEST_OUTAGE_DAYS):
        findings.add("outage_days_wanted", f"Days of outage to ride through: above 0, at most {LONGEST_OUTAGE_DAYS}.")
    if "note" in said:
        said["note"] = str(said["note"] or "").strip()
    return said


def _within(value: Any, above: float, most: float) -> bool:
    return isinstance(value, int | float) and math.isfinite(value) and above < value <= most


def _months(findings: Findings, months: Any) -> list[float]:
    months = list(months or [])
    if not months:
        return []
    if len(months) != 12 or any(value is None for value in months):
        findings.add("monthly_kwh", "Give all twelve months, January first, or leave them all empty.")
    elif any(not _within(value, -1, MOST_KWH_A_MONTH) or value < 0 for value in months):
        findings.add("monthly_kwh", f"Each month's use in kWh, between 0 and {MOST_KWH_A_MONTH}.")
    elif sum(months) == 0:
        findings.add("monthly_kwh", "All twelve months are zero.")
    else:
        return [float(value) for value in months]
    return []


def for_route(said: LeadAnswers, site: Site) -> route_kind.Answers:
    return route_kind.Answers(
        grid_available=said.grid_available,
        distance_to_grid_m=None,
        wants_backup=said.goal == Goal.BACKUP,
        wants_payback=said.goal == Goal.PAYBACK,
        must_run=tuple(said.must_run),
        outage_days_wanted=said.outage_days_wanted,
        wants_loan=said.wants_loan,
        wants_warranty=bool(said.warranty_years_wanted),
        diy_comfort=said.diy_comfort,
        owns_home=site.owns_home,
    )
