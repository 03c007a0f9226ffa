"""Datasheet values of the equipment, as the study used them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.content.block import title_block
from paperwork.words import short

Rows = list[dict[str, str]]


def _row(what: str, value: float, unit: str, places: int = 2) -> dict[str, str]:
    return {"what": what, "value": f"{short(value, places)}\u00a0{unit}".strip()}


def module_rows(m: Mapping[str, Any]) -> Rows:
    return [
        _row("Power at standard test conditions", m["power_w"], "W"),
        _row("Open-circuit voltage Voc", m["voc_v"], "V"),
        _row("Short-circuit current Isc", m["isc_a"], "A"),
        _row("Voltage at maximum power Vmp", m["vmp_v"], "V"),
        _row("Current at maximum power Imp", m["imp_a"], "A"),
        _row("Temperature coefficient of power", m["temp_coeff_pmax_pct_per_c"], "%/°C", 3),
        _row("Temperature coefficient of Voc", m["temp_coeff_voc_pct_per_c"], "%/°C", 3),
        _row("Nominal operating cell temperature", m["noct_c"], "°C"),
        _row("Maximum series fuse", m["max_series_fuse_a"], "A"),
        {"what": "Length × width", "value": f"{short(m['length_m'], 3)} × {short(m['width_m'], 3)}\u00a0m"},
        {
            "what": "Weight",
            "value": f"{short(m['weight_kg'])}\u00a0kg ({short(m['weight_kg'] / 0.45359237, 0)}\u00a0lb)",
        },
    ]


def inverter_rows(i: Mapping[str, Any]) -> Rows:
    rows = [
        _row("Rated AC power", i["ac_power_w"], "W"),
        _row("AC voltage", i["ac_voltage_v"], "V"),
        _row("Largest AC current", i["ac_power_w"] / i["ac_voltage_v"], "A", 1),
        _row("Largest DC voltage", i["max_dc_voltage_v"], "V"),
        {
            "what": "Tracking range",
            "value": f"{short(i['mppt_min_v'])} to {short(i['mppt_max_v'])}\u00a0V",
        },
        {
            "what": "Inputs × strings on each",
            "value": f"{i['mppt_inputs']} × {i['strings_per_mppt']}",
        },
        _row("Usable current of an input", i["max_input_current_a"], "A"),
        _row("Largest short-circuit current of an input", i["max_short_circuit_a"], "A"),
        _row("Weighted efficiency", i["efficiency"] * 100, "%"),
    ]
    if i["backup_power_w"]:
        rows.append(_row("Continuous power with the grid down", i["backup_power_w"], "W"))
    if i["surge_w"]:
        rows.append(
            {"what": "Surge", "value": f"{short(i['surge_w'])}\u00a0W for {short(i['surge_s'])}\u00a0s"},
        )
    return rows


def battery_rows(b: Mapping[str, Any]) -> Rows:
    lasts = f" for {short(b['surge_s'])}\u00a0s" if b.get("surge_s") else ""
    surge = f"{short(b['surge_kw'], 2)}\u00a0kW{lasts}" if b.get("surge_kw") else ""
    return [
        _row("Usable energy, each", b["usable_kwh"], "kWh"),
        _row("Usable energy, all", b["usable_kwh"] * b["units"], "kWh"),
        _row("Largest charging power, each", b["max_charge_kw"], "kW"),
        _row("Largest discharging power, each", b["max_discharge_kw"], "kW"),
        *([{"what": "Surge, each", "value": surge}] if surge else []),
        _row("Round-trip efficiency", b["round_trip_efficiency"] * 100, "%"),
        {"what": "Connects", "value": "on AC, by its own inverter" if b.get("coupling") == "ac" else "on DC"},
        {"what": "Listing", "value": "UL 9540" if b["listed_ul9540"] else "UL 9540 listing to be shown"},
    ]


def devices(asked: Mapping[str, Any]) -> list[dict[str, Any]]:
    found = [
        _device("PV module", asked["module"], sum(p["modules"] for p in asked["planes"]), module_rows),
        _device("Inverter", asked["inverter"], asked["inverter_count"], inverter_rows),
    ]
    if battery := asked.get("battery"):
        found.append(_device("Battery", battery, battery["units"], battery_rows))
    if generator := asked.get("generator"):
        found.append(_device("Generator", generator, 1, lambda g: [_row("Rated power", g["power_w"], "W")]))
    return found


def _device(title: str, thing: Mapping[str, Any], number: int, rows: Any) -> dict[str, Any]:
    return {"title": title, "name": thing["name"], "number": number, "rows": rows(thing)}


def equipment_data(facts: Mapping[str, Any]) -> dict[str, Any]:
    return {"facts": facts, "head": title_block(facts), "devices": devices(facts["study"]["request"])}
