"""Schedules of the single-line summary: conductors, equipment, strings, checks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.content.roof_plan import on_roof
from paperwork.words import clipped, short

LICENCE_LINES = (
    ("electrician", "Reviewed by the licensed electrician"),
    ("contractor", "Reviewed by the licensed contractor"),
)
RUNS = {
    "pv_source": ("Array", "DC disconnect"),
    "pv_output": ("Combiner", "DC disconnect"),
    "inverter_output": ("Inverter", "Main service panel"),
    "battery": ("Battery", "Inverter"),
    "backup_feeder": ("Backup interface", "Critical-loads panel"),
    "generator": ("Generator", "Inverter"),
}


def circuits_of(study: Mapping[str, Any]) -> dict[str, Mapping[str, Any]]:
    """By key, in the study's order. A grid-tied system has no backup to feed, whatever its inverter could do."""
    grid_tied = study["request"]["system_type"] == "grid_tied"
    return {
        circuit["key"]: circuit
        for circuit in study["electrical"]["circuits"]
        if not (grid_tied and circuit["key"] == "backup_feeder")
    }


def is_coupled(study: Mapping[str, Any]) -> bool:
    """Whether the battery has an inverter of its own and meets the PV in a panel."""
    battery = study["request"].get("battery")
    return bool(battery) and battery.get("coupling") == "ac" and study["request"]["system_type"] != "grid_tied"


def times(number: int, rating: str) -> str:
    return f"{number} × {rating}" if number > 1 else rating


def letters_of(study: Mapping[str, Any]) -> dict[str, str]:
    return {key: chr(ord("A") + i) for i, key in enumerate(circuits_of(study))}


def conductor_rows(study: Mapping[str, Any]) -> list[dict[str, str]]:
    letters = letters_of(study)
    rows = []
    for key, circuit in circuits_of(study).items():
        start, end = RUNS.get(key, ("", ""))
        if key == "pv_source" and "pv_output" in letters:
            end = "Combiner"
        if is_coupled(study):
            start, end = _coupled_run(study, key, (start, end))
        elif key == "inverter_output":
            end = _grid_side(study)
            if "backup_feeder" in letters:
                end = f"{end[:1].lower()}{end[1:]}, through the backup interface"
        rows.append(
            {
                "letter": letters[key],
                "label": circuit["label"],
                "run": f"{start} to {end if end.startswith('DC') else end[:1].lower() + end[1:]}" if start else "",
                "current": f"{short(circuit['current_a'])} A",
                "needed": f"{short(circuit['required_ampacity_a'])} A",
                "device": f"{short(circuit['overcurrent_a'])} A"
                if circuit["overcurrent_a"] is not None
                else "none needed",
                "conductor": f"{circuit['conductors_in_conduit'] - 1} × {circuit['conductor']}",
                "ground": f"1 × {circuit['equipment_ground']}",
                "conduit": circuit["conduit"],
                "length": f"{short(circuit['length_m'], 0)} m ({short(circuit['length_m'] / 0.3048, 0)} ft)",
                "drop": f"{short(circuit['voltage_drop_pct'], 2)} %",
            }
        )
    return rows


def switch_words(study: Mapping[str, Any], device: str) -> str:
    """The utility disconnect: on the supply side the switch's own rating and its fuses, else the least rating."""
    if study["request"]["service"]["connection"] != "supply_side":
        return f"at least {device}"
    rating = study["electrical"].get("ac_disconnect_a")
    return f"at least {short(rating)} A, fuses {device}" if rating else f"fused {device}"


def _grid_side(study: Mapping[str, Any]) -> str:
    if study["request"]["system_type"] == "off_grid":
        return "Main panel"
    if study["request"]["service"]["connection"] == "supply_side":
        return "Service, ahead of the main breaker"
    return "Main service panel"


def _coupled_run(study: Mapping[str, Any], key: str, usual: tuple[str, str]) -> tuple[str, str]:
    """Where a circuit begins and ends when PV and battery meet in a panel."""
    panel = "Main panel" if study["request"]["system_type"] == "off_grid" else "Critical-loads panel"
    if key == "backup_feeder":
        end = _grid_side(study)
        return panel, f"{end[:1].lower()}{end[1:]}, through backup interface and utility disconnect"
    runs = {
        "inverter_output": ("PV inverter", panel),
        "battery": ("Battery", panel),
        "generator": ("Generator", "Battery, its generator input"),
    }
    return runs.get(key, usual)


def string_rows(study: Mapping[str, Any]) -> list[dict[str, Any]]:
    return [
        {"plane": plane, "in_series": in_series, "strings": strings, "input": mppt}
        for plane, in_series, strings, mppt in study["electrical"]["strings"]
    ]


def equipment_rows(facts: Mapping[str, Any]) -> list[dict[str, str]]:
    study = facts["study"]
    asked = study["request"]
    module, inverter, service = asked["module"], asked["inverter"], asked["service"]
    modules = sum(row["in_series"] * row["strings"] for row in string_rows(study))
    rows = [
        _row(
            "PV module",
            module["name"],
            modules,
            f"{short(module['power_w'])} W, Voc {short(module['voc_v'], 2)} V, Isc {short(module['isc_a'], 2)} A, "
            f"Vmp {short(module['vmp_v'], 2)} V, Imp {short(module['imp_a'], 2)} A, series fuse at most "
            f"{short(module['max_series_fuse_a'])} A",
        ),
        _row(
            "PV inverter" if is_coupled(study) else "Inverter",
            inverter["name"],
            asked["inverter_count"],
            f"{short(inverter['ac_power_w'] / 1000, 2)} kW AC, {short(inverter['ac_voltage_v'])} V; DC at most "
            f"{short(inverter['max_dc_voltage_v'])} V, tracks {short(inverter['mppt_min_v'])} to "
            f"{short(inverter['mppt_max_v'])} V on {inverter['mppt_inputs']} inputs of "
            f"{short(inverter['max_input_current_a'])} A"
            + (
                f"; on its own {short(inverter['backup_power_w'] / 1000, 2)} kW"
                if inverter["backup_power_w"] and not is_coupled(study)
                else ""
            ),
        ),
    ]
    if battery := asked.get("battery"):
        rows.append(
            _row(
                "Battery",
                battery["name"],
                battery["units"],
                f"{short(battery['usable_kwh'], 2)} kWh usable each, charges at "
                f"{short(battery['max_charge_kw'], 2)} kW, "
                f"gives {short(battery['max_discharge_kw'], 2)} kW"
                + (f", by its own inverter on {short(service['voltage_v'])} V AC" if is_coupled(study) else "")
                + ("; listed UL 9540" if battery["listed_ul9540"] else "; UL 9540 listing to be shown"),
            )
        )
    if generator := asked.get("generator"):
        rows.append(_row("Generator", generator["name"], 1, f"{short(generator['power_w'] / 1000, 2)} kW, 120/240 V"))
    if feeder := circuits_of(study).get("backup_feeder"):
        rating, busbar = short(feeder["overcurrent_a"] or feeder["required_ampacity_a"]), _backup_busbar(study)
        rows.append(_row("Backup interface", "listed with the system", 1, f"at least {rating} A"))
        rows.append(_row("Critical-loads panel", "new", 1, f"{busbar}feeder {rating} A"))
    rows.append(
        _row(
            "Main service panel" if asked["system_type"] != "off_grid" else "Main panel",
            "existing" if asked["system_type"] != "off_grid" else "as built",
            1,
            f"busbar {short(service['busbar_a'])} A, main breaker {short(service['main_breaker_a'])} A, "
            f"{short(service['voltage_v'])} V; {service['free_breaker_spaces']} free spaces",
        )
    )
    return rows


def _backup_busbar(study: Mapping[str, Any]) -> str:
    needed = study["electrical"].get("backup_busbar_a")
    return f"busbar at least {short(needed, 0)} A, " if needed else ""


def _row(device: str, name: str, number: int, ratings: str) -> dict[str, str]:
    return {"device": device, "name": clipped(name, 60), "number": str(number), "ratings": ratings}


NOT_ON_A_DRAWING = (
    "loan",
    "utility account",
    "USD",
    "electric bills",
    "weather is that of",
    "weather of this site",
    "weather file",
    "hours of the year",
    "hours short",
    "limit costs",
    "No strings were given",
)
"""Bits of the study's warnings that a plan reviewer has no use for: money, weather and yearly figures; that the strings
were proposed is a note already."""


def warnings_for_a_drawing(study: Mapping[str, Any]) -> list[str]:
    return [str(text) for text in study["warnings"] if not any(bit in text for bit in NOT_ON_A_DRAWING)]


def checks_rows(study: Mapping[str, Any]) -> list[dict[str, Any]]:
    where = "on the roof" if on_roof(study) else "on the ground"
    return [
        {
            "label": check["label"],
            "value": check["value"],
            "limit": check["limit"].replace("on the roof", where),
            "source": check["source"],
            "word": "passes" if check["passes"] else "fails",
            "passes": check["passes"],
        }
        for check in study["electrical"]["checks"]
    ]
