"""What the single-line diagram says where the battery has an inverter of its own (AC-coupled)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.content.single_line_tables import circuits_of, is_coupled, switch_words, times
from paperwork.draw.one_line_sheet import Label
from paperwork.words import short

CONTINUOUS = 1.25
BUSBAR_SHARE = 1.2


def coupled_parts(facts: Mapping[str, Any], parts: Mapping[str, Any], loads: tuple[str, ...]) -> dict[str, Any]:
    """The parts of the plan that differ from a battery on the inverter's DC side; ``loads``: words of what is fed."""
    study = facts["study"]
    asked, circuits = study["request"], circuits_of(study)
    battery, service = asked["battery"], asked["service"]
    pv, stored = device(circuits, "inverter_output"), device(circuits, "battery")
    units, each = battery["units"], " each" if battery["units"] > 1 else ""
    own = max(battery["max_charge_kw"], battery["max_discharge_kw"])
    breakers = {"pv": times(asked["inverter_count"], pv), "battery": times(units, stored)}
    found: dict[str, Any] = {
        "ac_coupled": True,
        "inverter": Label("PV inverter", parts["inverter"].lines),
        "battery": Label(
            "Battery with its inverter",
            (
                parts["battery"].lines[0],
                parts["battery"].lines[1],
                f"{short(own, 2)} kW AC{each}, {short(service['voltage_v'])} V",
                parts["battery"].lines[2],
            ),
        ),
        "battery_disconnect": Label(
            "Battery disconnect", (f"{stored}, {short(service['voltage_v'])} V AC{', one a unit' if each else ''}",)
        ),
        "battery_breaker": breakers["battery"],
    }
    if asked["system_type"] == "off_grid":
        lines = (f"busbar {short(service['busbar_a'])} A", "fed by PV inverter and battery; no utility")
        return {**found, "main_breaker": f"PV {breakers['pv']}", "main_panel": Label("Main panel", lines)}
    return {**found, **_beside_a_grid(facts, parts, breakers, loads)}


def device(circuits: Mapping[str, Mapping[str, Any]], key: str) -> str:
    """ "40 A", or that the rating is to follow where no circuit of the tables carries it."""
    rating = circuits[key]["overcurrent_a"] if key in circuits else None
    return f"{short(rating)} A" if rating is not None else "rating to follow"


def _beside_a_grid(
    facts: Mapping[str, Any], parts: Mapping[str, Any], breakers: Mapping[str, str], loads: tuple[str, ...]
) -> dict[str, Any]:
    study = facts["study"]
    service, feeder = study["request"]["service"], device(circuits_of(study), "backup_feeder")
    supply_side, busbar = service["connection"] == "supply_side", study["electrical"].get("backup_busbar_a")
    least = f"at least {short(busbar, 0)} A" if busbar else "rating to follow"
    panel = [f"busbar {short(service['busbar_a'])} A", f"main breaker {short(service['main_breaker_a'])} A"]
    if supply_side:
        panel.append("PV and battery joined ahead of the main breaker")
    else:
        panel += [f"PV and battery breaker {feeder}, at the far end of the busbar", _share(study)]
    switch = f"{switch_words(study, feeder)}, {short(service['voltage_v'])} V"
    return {
        "pv_breaker": breakers["pv"],
        "feeder_breaker": feeder,
        "panel_breaker": "" if supply_side else feeder,
        "backup_interface": Label(
            "Backup interface", ("opens the grid side before the battery feeds the backed-up loads",)
        ),
        "critical_panel": Label(
            "Critical-loads panel",
            (
                f"feeder {feeder}, busbar {least}",
                f"PV {breakers['pv']} and battery {breakers['battery']}, opposite the feeder",
                *loads,
            ),
        ),
        "ac_disconnect": Label("Utility disconnect", ("visible, lockable open", switch)),
        "main_panel": Label("Main service panel", tuple(line for line in panel if line)),
    }


def _share(study: Mapping[str, Any]) -> str:
    """Each source's part in what the main panel's busbar carries, and what it allows."""
    asked, circuits = study["request"], circuits_of(study)
    if "inverter_output" not in circuits or "battery" not in circuits:
        return ""
    pv = circuits["inverter_output"]["current_a"] * asked["inverter_count"]
    stored = circuits["battery"]["current_a"] * asked["battery"]["units"]
    service = asked["service"]
    allowed = BUSBAR_SHARE * service["busbar_a"] - service["main_breaker_a"]
    return (
        f"PV {short(pv)} A and battery {short(stored)} A at 125 %: {short(CONTINUOUS * (pv + stored))} A of "
        f"{short(allowed)} A allowed"
    )


def coupled_notes(study: Mapping[str, Any]) -> list[str]:
    if not is_coupled(study):
        return []
    if study["request"]["system_type"] == "off_grid":
        return [
            "The batteries' inverters form the grid; the PV inverter follows it and gives way when they are full, as "
            "its maker and theirs allow."
        ]
    return [
        "In an outage the battery's inverter forms the grid behind the backup interface; the PV inverter follows it "
        "and gives way when the battery is full, as both makers allow. Neutral and ground are bonded at the service "
        "alone."
    ]
