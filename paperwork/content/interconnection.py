"""Interconnection application summary: what a utility's form asks for, on one sheet, from the study."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.content.block import job_code, title_block
from paperwork.content.single_line import KIND_WORDS
from paperwork.content.single_line_tables import circuits_of, is_coupled, string_rows, times
from paperwork.words import count, day, short, whole
from projects.route.requirements.interconnection import LEVELS, level_of_size

STANDING = ("prepared for the utility's", "review; not certified")
TO_FILL_IN = "to be filled in"
Rows = list[tuple[str, str]]
TARIFFS = {"net_metering": "net metering", "net_billing": "net billing", "no_export": "no export"}
FUNCTIONS = {
    "OV2": "Overvoltage 2",
    "OV1": "Overvoltage 1",
    "UV1": "Undervoltage 1",
    "UV2": "Undervoltage 2",
    "OF2": "Overfrequency 2",
    "OF1": "Overfrequency 1",
    "UF1": "Underfrequency 1",
    "UF2": "Underfrequency 2",
}


def interconnection(facts: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "facts": facts,
        "head": title_block(facts, STANDING),
        "code": job_code(facts),
        "issued": day(facts["on"]),
        "customer": _customer(facts),
        "service": _service(facts),
        "generation": _generation(facts),
        "inverter": _inverter(facts),
        "storage": _storage(facts),
        "listings": "Listings of inverter and storage"
        if facts["study"]["request"]["battery"] and facts["system_kind"] != "grid_tied"
        else "Listing of the inverter",
        "trips": trip_rows(facts),
        "changes": facts.get("changes", []),
        "utility": facts["utility_profile"],
    }


def _customer(facts: Mapping[str, Any]) -> Rows:
    contact = facts["contact"]
    return [
        ("Name", facts["customer"]["name"]),
        ("Service address", facts["site"]["address"]),
        ("Telephone", contact["phone"] or TO_FILL_IN),
        ("E-mail", contact["email"] or TO_FILL_IN),
        ("Account and meter number", TO_FILL_IN),
        ("Application", facts["application"]["number"] or "new"),
        *_level(facts),
        ("Installer", ", ".join(filter(None, (facts["firm"]["name"], facts["firm"]["phone"])))),
        ("Licences", facts["firm"]["licence_line"] or _licences(facts) or TO_FILL_IN),
    ]


def _level(facts: Mapping[str, Any]) -> Rows:
    """As applied for, or by the AC rating against this utility's thresholds; papers of an older program have none."""
    level, profile = facts["application"].get("level"), facts["utility_profile"]
    if not level:
        return []
    size = facts["application"].get("ac_kw")
    bounds_kw = profile["simplified_up_to_kw"], profile["fast_track_up_to_kw"]
    if size and level_of_size(size, *bounds_kw) != level:
        return [("Level", f"{level}, {LEVELS[level]} (as {profile['name']} has the application)")]
    simple, fast = (short(kw, 1) for kw in bounds_kw)
    bounds = {1: f"up to {simple} kW AC", 2: f"above {simple} kW AC, up to {fast} kW", 3: f"above {fast} kW AC"}
    return [("Level", f"{level}, {LEVELS[level]} (this utility: {bounds[level]})")]


def _licences(facts: Mapping[str, Any]) -> str:
    return ", ".join(f"{licence['state']} {licence['number']}" for licence in facts["licences"])


def _service(facts: Mapping[str, Any]) -> Rows:
    service = facts["study"]["request"]["service"]
    electrical = facts["study"]["electrical"]
    supply = service["connection"] == "supply_side"
    rows = [
        ("Service", f"120/{short(service['voltage_v'])} V, one phase, three wires, {short(service['rating_a'])} A"),
        ("Main breaker, busbar", f"{short(service['main_breaker_a'])} A, {short(service['busbar_a'])} A"),
        (
            "Point of connection",
            "supply side, ahead of the main breaker" if supply else "breaker at the far end of the busbar",
        ),
    ]
    if electrical["backfeed_breaker_a"] is not None:
        breaker = f"{short(electrical['backfeed_breaker_a'])} A"
        rows.append(("Breaker of the inverters", times(facts["study"]["request"]["inverter_count"], breaker)))
    switch = electrical["ac_disconnect_a"]
    rows.append(
        (
            "Utility disconnect",
            f"visible, lockable open, beside the meter{f', {short(switch)} A switch' if switch else ''}",
        )
    )
    profile = facts["utility_profile"]
    rows += [
        ("Asked for", TARIFFS[profile["tariff_kind"]]),
        ("Witness test", "asked for by this utility" if profile["witness_test"] else "not asked for by this utility"),
        ("Meter", "changed by this utility" if profile["meter_swap"] else "stays"),
    ]
    return rows


def _generation(facts: Mapping[str, Any]) -> Rows:
    study = facts["study"]
    module = study["request"]["module"]
    modules = sum(plane["modules"] for plane in study["request"]["planes"])
    strings = sum(row["strings"] for row in string_rows(study))
    return [
        ("Kind", f"{KIND_WORDS[facts['system_kind']]}, photovoltaic"),
        ("DC rating", f"{short(study['production']['dc_kw'], 2)} kW at standard test conditions"),
        ("AC rating", _ac_rating(study)),
        ("Modules", f"{modules} × {module['name']}, {short(module['power_w'])} W, in {count(strings, 'string')}"),
        ("Energy in a typical year", f"{whole(study['production']['ac_kwh_year'])} kWh"),
        ("Use in a year", f"{whole(study['loads']['use_kwh_year'])} kWh"),
        ("Coldest open-circuit voltage", f"{whole(study['electrical']['voc_cold_v'])} V DC"),
    ]


def _ac_rating(study: Mapping[str, Any]) -> str:
    """Where the storage has inverters of its own, the utility reads both: it may count the sum."""
    pv_kw, battery = study["production"]["ac_kw"], study["request"]["battery"]
    if not is_coupled(study):
        return f"{short(pv_kw, 2)} kW"
    stored_kw = battery["max_discharge_kw"] * battery["units"]
    return (
        f"{short(pv_kw, 2)} kW of PV; {short(stored_kw, 2)} kW of the storage's own inverters; "
        f"{short(pv_kw + stored_kw, 2)} kW together"
    )


def _inverter(facts: Mapping[str, Any]) -> Rows:
    study = facts["study"]
    asked = study["request"]
    inverter, number = asked["inverter"], asked["inverter_count"]
    output = circuits_of(study).get("inverter_output")
    rows = [
        ("Make and model", f"{number} × {inverter['name']}"),
        (
            "Rated AC power, each",
            f"{short(inverter['ac_power_w'] / 1000, 2)} kW at {short(inverter['ac_voltage_v'])} V",
        ),
        ("Rated AC current, all", f"{short(number * inverter['ac_power_w'] / inverter['ac_voltage_v'])} A"),
        ("Weighted efficiency", f"{short(inverter['efficiency'] * 100)} %"),
        ("Listing", "UL 1741 with the grid support that the utility asks for: listing to be attached"),
        (
            "Without the grid",
            "follows the battery's own inverter behind the backup interface"
            if is_coupled(study)
            else "forms its own grid behind the backup interface"
            if inverter["backup_power_w"]
            else "stops",
        ),
    ]
    if output and output["overcurrent_a"] is not None:
        rows.insert(3, ("Overcurrent device, each", f"{short(output['overcurrent_a'])} A"))
    return rows


def _storage(facts: Mapping[str, Any]) -> Rows:
    battery = facts["study"]["request"]["battery"]
    if not battery or facts["system_kind"] == "grid_tied":
        return [("Storage", "none")]
    units = battery["units"]
    return [
        ("Make and model", f"{units} × {battery['name']}"),
        ("Usable energy", f"{short(battery['usable_kwh'] * units, 2)} kWh"),
        ("Largest discharge", f"{short(battery['max_discharge_kw'] * units, 2)} kW"),
        ("Coupling", "on the DC side of the inverter" if battery["coupling"] == "dc" else "by an inverter of its own"),
        ("Listing", "UL 9540" if battery["listed_ul9540"] else "UL 9540 listing to be shown"),
        ("With the grid down", "separated from the utility by the backup interface before it feeds the house"),
    ]


def trip_rows(facts: Mapping[str, Any]) -> list[dict[str, str]]:
    """One row per function; voltages as shares of the nominal voltage and in volts."""
    volts = facts["study"]["request"]["service"]["voltage_v"]
    by_category = {c: {row["function"]: row for row in rows} for c, rows in facts["trips"].items()}
    found = []
    for function, words in FUNCTIONS.items():
        row: dict[str, str] = {"function": words}
        for category in ("II", "III"):
            setting = by_category[category][function]
            if setting["unit"] == "pu":
                level = f"{short(setting['threshold'] * 100)} % ({short(setting['threshold'] * volts)} V)"
            else:
                level = f"{short(setting['threshold'])} Hz"
            row[f"level_{category}"] = level
            row[f"time_{category}"] = f"{short(setting['clearing_s'], 2)} s"
        found.append(row)
    return found
