"""The few figures of a study's result that screens and lists show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any


def all_checks(result: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Those of the code on the circuits, and whether the modules fit on their planes with what has to stay free."""
    return [*result["electrical"]["checks"], *(result.get("roof") or {}).get("checks", [])]


def failing_checks(result: Mapping[str, Any]) -> list[str]:
    return [check["label"] for check in all_checks(result) if not check["passes"]]


def _surge_w(request: Mapping[str, Any]) -> float | None:
    """Of all units of whatever forms the grid in an outage; None where no datasheet says."""
    battery, inverter = request["battery"], request["inverter"]
    if battery is not None and battery.get("coupling") == "ac":
        return (battery.get("surge_kw") or 0.0) * 1000 * battery["units"] or None
    return inverter["surge_w"] * request["inverter_count"] or None


def headline(result: Mapping[str, Any]) -> dict[str, Any]:
    """The few figures that screens show; a figure that the study doesn't have is None."""
    request, electrical = result["request"], result["electrical"]
    production, ride, money = result["production"], result["ride_through"], result["money"]
    cash = money["cash"] if money else None
    battery, inverter = request["battery"], request["inverter"]
    pump = next((line for line in result["loads"]["appliances"] if _is_pump(request, line["name"])), None)
    return {
        "array_kw": production["dc_kw"],
        "modules": sum(plane["modules"] for plane in request["planes"]),
        "ac_kwh_year": production["ac_kwh_year"],
        "use_kwh_year": result["loads"]["use_kwh_year"],
        "battery_kwh": battery["usable_kwh"] * battery["units"] if battery else None,
        "voc_cold_v": electrical["voc_cold_v"],
        "voc_limit_v": inverter["max_dc_voltage_v"],
        "vmp_hot_v": electrical["vmp_hot_v"],
        "record_low_c": result["climate"]["record_low_c"],
        "ride_through_median_hours": ride["median_hours"] if ride else None,
        "ride_through_worst_hours": ride["worst_hours"] if ride else None,
        "ride_through_wanted_share": ride["share_of_starts_meeting_wanted"] if ride else None,
        "ride_through_words": ride_through_words(ride) if ride else "",
        "pump_name": pump["name"] if pump else "",
        "pump_start_w": pump["starting_w"] if pump else None,
        "surge_w": _surge_w(request),
        "surge_ok": ride["surge_ok"] if ride else None,
        "power_limit_ok": ride["power_limit_ok"] if ride else None,
        "backfeed_breaker_a": electrical["backfeed_breaker_a"],
        "busbar_allowed_a": electrical["busbar_allowed_a"],
        "busbar_a": request["service"]["busbar_a"],
        "main_breaker_a": request["service"]["main_breaker_a"],
        "saved_month_usd": money["saved_month_mean_usd"] if money else None,
        "loan_payment_usd": money["loan_payment_usd"] if money else None,
        "saving_covers_payment": money["saving_covers_payment"] if money else None,
        "months_covered": cash["months_covered"] if cash and cash["loan"] else None,
        "loan_months_seen": len(cash["loan"]) if cash and cash["loan"] else None,
        "payback_years": cash["payback_years"] if cash else None,
        "npv_usd": cash["npv_usd"] if cash else None,
        "irr_per_year": cash["irr_per_year"] if cash else None,
        "bill_before_year_usd": money["bill_before_year_usd"] if money else None,
        "bill_after_year_usd": money["bill_after_year_usd"] if money else None,
        "solar_access_year": _access(result["planes"]),
        "checks_failing": failing_checks(result),
        "checks": len(all_checks(result)),
        "warnings": list(result["warnings"]),
    }


NOTHING_CARRIED = "nothing: it stops with the grid"


def ride_through_words(ride: Mapping[str, Any]) -> str:
    """ "9 outages in 10 last at least 31 h; half of them 3.5 days" in whole words."""
    tenth, median, horizon = ride["tenth_percentile_hours"], ride["median_hours"], ride["horizon_hours"]
    if median == 0:
        return NOTHING_CARRIED
    if tenth >= horizon:
        return f"{_long(tenth, horizon)} in 9 of 10 outages"
    return f"{_long(tenth, horizon)} in 9 of 10 outages, {_long(median, horizon)} in half of them"


def _long(hours: float, horizon: float) -> str:
    if hours >= horizon:
        return f"{horizon / 24:.0f} days or more"
    return f"{hours:.0f} h" if hours < 48 else f"{hours / 24:.1f} days"


def _is_pump(request: Mapping[str, Any], name: str) -> bool:
    return any(a["name"] == name and a["kind"] == "well_pump" for a in request["appliances"])


def _access(planes: Sequence[Mapping[str, Any]]) -> float | None:
    """Over all planes, weighted by their power."""
    power = sum(plane["dc_kw"] for plane in planes)
    return sum(plane["solar_access_year"] * plane["dc_kw"] for plane in planes) / power if power else None
