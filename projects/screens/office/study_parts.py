"""Parts of the study's page that need more than the stored figures: outages compared, off grid, money, roof, loads.

Studies are kept as they were run: what an older one doesn't have is left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from projects.models import LoadLine
from projects.screens import charts, charts_study

LOAN_MONTHS_SHOWN = 12
SUPPLY = {
    (True, False): "sun",
    (True, True): "sun and generator",
    (False, False): "no sun at all",
    (False, True): "generator, no sun",
}


def more_of(result: Mapping[str, Any]) -> dict[str, Any]:
    """What the template shows beyond ``study._pictures``."""
    found: dict[str, Any] = {"load_lines": _load_lines(result)}
    ride, off_grid, money = result["ride_through"], result["off_grid"], result["money"]
    if ride:
        found["cases"] = [_case(case, ride["horizon_hours"]) for case in ride.get("cases", [])]
        found["smallest"] = _smallest(result, ride)
    if off_grid and off_grid.get("reliability"):
        request = result["request"]
        drawn = (result["production"]["dc_kw"], request["battery"]["usable_kwh"] * request["battery"]["units"])
        found["reliability"] = charts_study.reliability_curve(off_grid["reliability"], drawn)
        found["reliability_points"] = off_grid["reliability"]
        found["allowed_percent"] = request["backup"]["allowed_loss_of_load_share"] * 100
    if money and money.get("cash"):
        found |= _cash(money["cash"])
    found["roof_planes"] = [
        (plane, sorted({zone["label"] for zone in plane["keep_clear"]}))
        for plane in (result.get("roof") or {}).get("planes", [])
    ]
    found["kept_clear"] = any(clear for _, clear in found["roof_planes"])
    return found


def _load_lines(result: Mapping[str, Any]) -> list[tuple[str, list[Mapping[str, Any]], float]]:
    """(tier, its lines, kWh a year), in the order of the tiers."""
    lines = result["loads"]["appliances"]
    found = []
    for tier, label in LoadLine.Tier.choices:
        of_tier = [line for line in lines if line["tier"] == tier]
        if of_tier:
            found.append((str(label), of_tier, sum(line["kwh_year"] for line in of_tier)))
    return found


def _case(case: Mapping[str, Any], horizon: float) -> dict[str, Any]:
    return {
        "loads": case["loads"],
        "supply": SUPPLY[bool(case["sun"]), bool(case["generator"])],
        "kwh_per_day": case["kwh_per_day"],
        "share": case["share_of_starts_meeting_wanted"] * 100,
        "worst": _lasting(case["worst_hours"], horizon),
        "median": _lasting(case["median_hours"], horizon),
        "generator_hours": case["generator_hours_mean"] if case["generator"] else None,
    }


def _lasting(hours: float, horizon: float) -> str:
    words = charts.duration(round(hours)) if hours < 48 else f"{hours / 24:.1f} days"
    return f"{horizon / 24:.0f} days or more" if hours >= horizon else words


def _smallest(result: Mapping[str, Any], ride: Mapping[str, Any]) -> dict[str, Any] | None:
    """The fewest batteries for the wish; None where the study has no battery to count or is older than the figure."""
    battery = result["request"]["battery"]
    if battery is None or "smallest_battery_units" not in ride:
        return None
    units = ride["smallest_battery_units"]
    return {
        "share": result["request"]["backup"]["wanted_share"] * 100,
        "units": units,
        "kwh": units * battery["usable_kwh"] if units else None,
        "name": battery["name"],
        "drawn": battery["units"],
    }


def _cash(cash: Mapping[str, Any]) -> dict[str, Any]:
    irr = cash["irr_per_year"]
    return {
        "cash": cash,
        "cash_chart": charts_study.cash_years(cash["years"]) if cash["years"] else "",
        "irr_words": "none" if irr is None else f"{irr * 100:.1f} % a year".replace("-", "−"),
        "loan_first": cash["loan"][:LOAN_MONTHS_SHOWN],
        "loan_rest": cash["loan"][LOAN_MONTHS_SHOWN:],
        "loan_months": len(cash["loan"]),
    }
