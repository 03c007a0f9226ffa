"""The single-line summary: diagram, schedules, checks and notes of one design, from its study."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.content.block import FROM_MEMORY
from paperwork.content.single_line_coupled import coupled_notes, coupled_parts
from paperwork.content.single_line_tables import (
    LICENCE_LINES,
    checks_rows,
    circuits_of,
    conductor_rows,
    equipment_rows,
    is_coupled,
    letters_of,
    string_rows,
    switch_words,
    times,
    warnings_for_a_drawing,
)
from paperwork.draw.one_line import one_line_drawing
from paperwork.draw.one_line_sheet import Label, OneLine, StringRow
from paperwork.words import clipped, count, listed, short, short_day

KIND_WORDS = {"grid_tied": "grid-tied", "hybrid": "hybrid", "off_grid": "off-grid"}
STANDING = "For review by the licensed electrician. Not certified."


def single_line(facts: Mapping[str, Any]) -> dict[str, Any]:
    study = facts["study"]
    licences = {licence["trade"]: licence for licence in facts["licences"]}
    return {
        "facts": facts,
        "heading": "Single-line diagram",
        "drawing": one_line_drawing(one_line_of(facts)).picture(),
        "kind": KIND_WORDS[facts["system_kind"]],
        "firm_name": clipped(facts["firm"]["name"], 34),
        "firm_licence": clipped(facts["firm"]["licence_line"] or facts["firm"]["phone"], 36),
        "customer": clipped(facts["customer"]["name"], 44),
        "address": clipped(facts["site"]["address"], 52),
        "issued": short_day(facts["on"]),
        "designed": short_day(facts["design"]["designed_on"]),
        "standing": STANDING,
        "conductors": conductor_rows(study),
        "equipment": equipment_rows(facts),
        "strings": string_rows(study),
        "checks": checks_rows(study),
        "notes": notes(facts),
        "sign": [{"line": line, "licence": licences.get(trade)} for trade, line in LICENCE_LINES],
        "changes": facts.get("changes", []),
    }


def one_line_of(facts: Mapping[str, Any]) -> OneLine:
    """The diagram's plan. Ratings that the study asks for are written "at least": the device chosen may be larger."""
    study = facts["study"]
    asked, electrical = study["request"], study["electrical"]
    circuits = circuits_of(study)
    module, inverter, service = asked["module"], asked["inverter"], asked["service"]
    kind, number = asked["system_type"], asked["inverter_count"]
    dc_kw = study["production"]["dc_kw"]
    source = circuits.get("pv_output") or circuits.get("pv_source")
    rows = tuple(
        StringRow(row["plane"], f"{row['strings']} × {row['in_series']} in series, input {row['input']}")
        for row in string_rows(study)
    )
    inverter_lines = [
        f"{_count(number)}{inverter['name']}",
        f"{_kw(inverter['ac_power_w'])} AC{' each' if number > 1 else ''}, {short(inverter['ac_voltage_v'])} V",
        f"DC {short(inverter['mppt_min_v'])} to {short(inverter['mppt_max_v'])} V, at most "
        f"{short(inverter['max_dc_voltage_v'])} V",
    ]
    output = circuits.get("inverter_output")
    plan: dict[str, Any] = {
        "title": _spoken(facts),
        "rows": rows,
        "source_circuits": sum(row["strings"] for row in string_rows(study)),
        "rapid_shutdown": electrical["rapid_shutdown"],
        "dc_disconnect": Label(
            "PV DC disconnect",
            (
                f"at least {short(inverter['max_dc_voltage_v'])} V DC"
                + (f", {short(source['required_ampacity_a'])} A" if source else ""),
                f"array {short(dc_kw, 2)} kW DC, {short(module['power_w'])} W modules",
            ),
        ),
        "inverter": Label("Inverter", tuple(inverter_lines)),
        "main_panel": _main_panel(facts, output),
        "grounding": Label(
            "Grounding electrode system",
            ("existing, verify on site" if kind != "off_grid" else "to be provided and verified on site",),
        ),
        "main_breaker": f"{short(service['main_breaker_a'])} A" if kind != "off_grid" else "main",
        "tags": letters_of(study),
    }
    battery = asked.get("battery")
    if battery:
        units, circuit = battery["units"], circuits.get("battery")
        usable = f"{short(battery['usable_kwh'] * units)} kWh usable"
        plan["battery"] = Label(
            "Battery",
            (
                f"{_count(units)}{battery['name']}",
                usable,
                "listed UL 9540" if battery["listed_ul9540"] else "UL 9540 listing to be shown",
            ),
        )
        plan["battery_disconnect"] = Label(
            "Battery disconnect",
            (f"{_amps(circuit)}{', one a unit' if units > 1 else ''}",) if circuit else (),
        )
    if "pv_output" in circuits:
        fuse = circuits["pv_source"]["overcurrent_a"] if "pv_source" in circuits else None
        joined = sorted({row["input"] for row in string_rows(study) if row["strings"] > inverter["strings_per_mppt"]})
        inputs = f"for input{'s' if len(joined) > 1 else ''} {listed([str(n) for n in joined[:6]])}"
        plan["combiner"] = Label(
            "Combiner", (f"fuses {short(fuse)} A" if fuse is not None else "no fuses needed", inputs)
        )
    generator = asked.get("generator")
    if generator:
        circuit = circuits.get("generator")
        plan["generator"] = Label("Generator", (generator["name"], f"{_kw(generator['power_w'])}, 120/240 V"))
        plan["generator_disconnect"] = Label(
            "Generator disconnect", (_amps(circuit) if circuit else "rating to follow",)
        )
    if "backup_feeder" in circuits and not is_coupled(study):
        plan["backup_interface"] = Label(
            "Backup interface",
            ("opens the grid side before the inverter feeds the backed-up loads",),
        )
        plan["critical_panel"] = _critical_panel(study, circuits["backup_feeder"])
    if kind != "off_grid":
        supply_side = service["connection"] == "supply_side"
        plan["ac_disconnect"] = Label(
            "Utility disconnect",
            (
                "visible, lockable open",
                f"{switch_words(study, _breaker_a(facts, output))}, {short(service['voltage_v'])} V{_one_each(number)}",
            ),
        )
        plan["ac_disconnect_fused"] = supply_side
        plan["supply_side"] = supply_side
        plan["meter"] = Label("Utility meter", (f"{short(service['rating_a'])} A service",))
        utility = clipped(facts["utility"], 40) or "Utility"
        plan["utility"] = Label(utility, (f"120/{short(service['voltage_v'])} V, one phase, three wires",))
        if not supply_side:
            plan["panel_breaker"] = f"PV {times(number, _breaker_a(facts, output))}"
    elif output:
        plan["ac_disconnect"] = Label(
            "Inverter output disconnect",
            (f"at least {_amps(output)}, {short(inverter['ac_voltage_v'])} V{_one_each(number)}",),
        )
    if is_coupled(study):
        plan.update(coupled_parts(facts, plan, _carried(study)))
    return OneLine(**plan)


def _main_panel(facts: Mapping[str, Any], output: Mapping[str, Any] | None) -> Label:
    study = facts["study"]
    service, number = study["request"]["service"], study["request"]["inverter_count"]
    if study["request"]["system_type"] == "off_grid":
        return Label("Main panel", (f"busbar {short(service['busbar_a'])} A", "fed by the inverter alone; no utility"))
    lines = [f"busbar {short(service['busbar_a'])} A", f"main breaker {short(service['main_breaker_a'])} A"]
    if service["connection"] == "supply_side":
        lines.append("PV joined ahead of the main breaker")
    else:
        lines.append(f"PV breaker {times(number, _breaker_a(facts, output))}, at the far end of the busbar")
    return Label("Main service panel", tuple(lines))


def _critical_panel(study: Mapping[str, Any], feeder: Mapping[str, Any]) -> Label:
    return Label("Critical-loads panel", (f"feeder {_amps(feeder)}", *_carried(study)))


def _carried(study: Mapping[str, Any]) -> tuple[str, ...]:
    """The loads on the backed-up panel, in one line; none where the study names none."""
    tiers = study["request"]["backup"]["tiers"]
    names = [load["name"] for load in study["loads"]["appliances"] if load["tier"] in tiers]
    shown = listed([clipped(name, 30) for name in names[:5]])
    if len(names) > 5:
        shown += f" and {count(len(names) - 5, 'more load')}"
    return (f"carries {shown}",) if names else ()


def _breaker_a(facts: Mapping[str, Any], output: Mapping[str, Any] | None) -> str:
    breaker = facts["study"]["electrical"]["backfeed_breaker_a"]
    if breaker is not None:
        return f"{short(breaker)} A"
    return _amps(output) if output else "rating to follow"


def _amps(circuit: Mapping[str, Any]) -> str:
    if circuit["overcurrent_a"] is not None:
        return f"{short(circuit['overcurrent_a'])} A"
    return f"{short(circuit['required_ampacity_a'])} A"


def _kw(watts: float) -> str:
    return f"{short(watts / 1000, 2)} kW"


def _one_each(number: int) -> str:
    return ", one an inverter" if number > 1 else ""


def _count(number: int) -> str:
    return f"{number} × " if number > 1 else ""


def _spoken(facts: Mapping[str, Any]) -> str:
    asked = facts["study"]["request"]
    parts = [
        f"Single-line diagram of a {KIND_WORDS[asked['system_type']]} system:",
        f"{count(sum(r['strings'] for r in string_rows(facts['study'])), 'string')} of modules with rapid "
        "shutdown, DC disconnect,",
        f"inverter {asked['inverter']['name']},",
    ]
    if asked.get("battery"):
        own = "inverter and disconnect" if is_coupled(facts["study"]) else "disconnect"
        parts.append(f"battery {asked['battery']['name']} with its {own},")
    if asked.get("generator"):
        parts.append(f"generator {asked['generator']['name']},")
    if "backup_feeder" in circuits_of(facts["study"]):
        parts.append("backup interface with critical-loads panel,")
    if asked["system_type"] == "off_grid":
        parts.append("output disconnect, main panel and grounding electrode.")
    else:
        parts.append("utility disconnect, main service panel with grounding electrode, meter and utility.")
    parts.append("Ratings are in the schedules.")
    return " ".join(parts)


def notes(facts: Mapping[str, Any]) -> list[str]:
    study = facts["study"]
    climate, electrical, asked = study["climate"], study["electrical"], study["request"]
    found = [
        f"Sized for the {asked['code_edition']} National Electrical Code as the study applies it; the edition and "
        "amendments that the authority having jurisdiction has adopted govern.",
        FROM_MEMORY,
        f"Design temperatures: {short(climate['record_low_c'])} °C low ({climate['record_low_source']}), "
        f"{short(climate['high_2pct_c'])} °C high ({climate['high_2pct_source']}). Coldest open-circuit voltage "
        f"{short(electrical['voc_cold_v'])} V.",
        "Strings on different inverter inputs stay apart as far as the inverter. Conductor counts are in the schedule.",
        "Equipment grounding conductors run with every circuit and bond array frames and racking. The grounding "
        "electrode conductor is sized to the service conductors on site.",
        "Ratings written “at least” are the least that the study asks for; the device installed is on the "
        "as-built drawing.",
    ]
    if electrical["strings_proposed"]:
        found.append("The strings were proposed by the study; the designer has not set them by hand.")
    found += coupled_notes(study)
    if "backup_feeder" in circuits_of(study):
        found.append(
            "The backup interface may stand in the inverter's or battery's own listed enclosure. Loads are "
            "moved to the "
            "critical-loads panel by the licensed electrician; a neutral or a multiwire circuit is never split "
            "between panels."
        )
    if asked.get("generator"):
        never = "runs in parallel with the utility"
        if asked["system_type"] == "off_grid":
            never = "feeds the panel beside the inverter"
        found.append(f"The generator is interlocked so that it never {never}. Its neutral bond is settled on site.")
    if asked["system_type"] != "off_grid":
        found.append("No operation in parallel with the utility before its permission to operate.")
    found.append(
        "PV conductors are live whenever there is light, and a battery always. Prove dead before touching; labels and "
        "placards as the code asks."
    )
    found.extend(warnings_for_a_drawing(study)[:4])
    return found
