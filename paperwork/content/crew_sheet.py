"""Crew job sheet: what to bring, what goes where, what to measure and write down, what the inspector looks at."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from paperwork.content.block import job_code, title_block
from paperwork.content.inspection_day import day_words, has_rapid_shutdown, inspector_list
from paperwork.content.roof_plan import on_roof
from paperwork.content.single_line import KIND_WORDS
from paperwork.content.single_line_tables import circuits_of, conductor_rows, equipment_rows, string_rows
from paperwork.words import day, listed, short, whole

STANDING = ("for the crew; the approved", "drawings and the code govern")
STANDING_EXEMPT = ("for the crew; the", "drawings and the code govern")
SPARE = 1.1
"""Conductor and rail to bring over what the drawing measures; common practice, no source."""
CELL_TEMPERATURES_C = (0.0, 25.0, 50.0)
Lines = list[str]


def crew_sheet(facts: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "facts": facts,
        "head": title_block(facts, STANDING_EXEMPT if facts.get("exempt") else STANDING),
        "code": job_code(facts),
        "kind": KIND_WORDS[facts["system_kind"]],
        "days": [f"{what}: {day(on)}" for what, on in facts["booked"]],
        "cautions": cautions(facts),
        "parts": parts_rows(facts),
        "tools": tools(facts),
        "strings": voltage_rows(facts),
        "temperatures": [f"{short(t, 0)} °C" for t in CELL_TEMPERATURES_C],
        "circuits": conductor_rows(facts["study"]),
        "torque": torque_places(facts),
        "tests": measured_rows(facts),
        "limits": limits(facts),
        "approved": approved(facts),
        "built": built_lines(facts),
        "inspector": inspector_list(facts),
        "day": day_words(facts),
        "changes": facts.get("changes", []),
    }


def cautions(facts: Mapping[str, Any]) -> Lines:
    roof = on_roof(facts["study"])
    said = [
        "Roof: fall protection on before the first step up. Stop for rain, ice, lightning or gusts that move a module."
        if roof
        else "A module catches wind: two people carry it. Stop for ice, lightning or gusts that move a module.",
        "Modules are live in any light. Strings stay open at both ends until the DC disconnect is locked open; never "
        "open a connector under load.",
        "Prove dead with a meter that was tried before and after, on every conductor, before a hand goes in. Lock out "
        "and tag; the key stays with whoever works.",
        "Work in the main panel is the licensed electrician's. The line side of the main breaker stays live.",
    ]
    if facts["study"]["request"]["battery"]:
        said.append(
            "A battery can't be switched off inside: insulated tools, no rings, the maker's order of connection, two "
            "people to lift."
        )
    if facts["study"]["request"]["generator"]:
        said.append("The generator stays locked out while anybody works on its circuit.")
    said.append(
        "Energized only for the commissioning tests until "
        + ("the licensed electrician's final check" if facts.get("exempt") else "the final inspection")
        + " has passed"
        + (
            ", and never in parallel with the utility before its permission to operate."
            if facts["system_kind"] != "off_grid"
            else "."
        )
    )
    return said


def parts_rows(facts: Mapping[str, Any]) -> list[dict[str, str]]:
    """Equipment, then what the drawing measures out: rail, attachments, conductors, labels."""
    rows = [
        {"what": row["device"], "which": row["name"], "number": row["number"]}
        for row in equipment_rows(facts)
        if not row["device"].startswith("Main")
    ]
    planes = facts["structure"]["planes"] if facts["structure"] else []
    if planes:
        rail_ft = sum(2 * sum(plane["rail_ft"]) for plane in planes)
        rows.append({"what": "Rail", "which": "two to a row, with a tenth to spare", "number": _feet(rail_ft * SPARE)})
        rows.append(
            {
                "what": "Attachments with flashing",
                "which": listed(
                    [f"{p['name']}: {p['attachments']}, at most every {short(p['spacing_in'])} in" for p in planes]
                ),
                "number": str(sum(plane["attachments"] for plane in planes)),
            }
        )
    for circuit in circuits_of(facts["study"]).values():
        length_ft = circuit["length_m"] / 0.3048 * SPARE
        conductors = circuit["conductors_in_conduit"] - 1
        rows.append(
            {
                "what": f"{circuit['label']}, conductors",
                "which": f"{conductors} × {circuit['conductor']} and {circuit['equipment_ground']} ground, "
                f"{circuit['conduit']}",
                "number": f"{_feet(length_ft)} run",
            }
        )
        if circuit["overcurrent_a"] is not None:
            rows.append(
                {
                    "what": f"{circuit['label']}, device",
                    "which": f"{short(circuit['overcurrent_a'])} A",
                    "number": "as drawn",
                }
            )
    rows.append({"what": "Labels and placards", "which": "as the label sheet", "number": str(len(facts["labels"]))})
    return rows


def _feet(feet: float) -> str:
    return f"{whole(math.ceil(feet))} ft"


def tools(facts: Mapping[str, Any]) -> Lines:
    said = [
        *(["harness, anchors, ladder with tie-off"] if on_roof(facts["study"]) else []),
        "torque wrench and torque screwdriver, in calibration",
        "meter rated for the string's voltage, with leads",
        "clamp meter for DC and AC",
        "insulation tester",
        "crimper that the connectors' maker names",
        "lockout kit",
        "infrared or contact thermometer",
    ]
    if facts["study"]["request"]["battery"]:
        said.append("insulated tools and face shield for the battery")
    return said


def voltage_rows(facts: Mapping[str, Any]) -> list[dict[str, Any]]:
    """What each string should read, open, at three cell temperatures; n × Voc × (1 + β / 100 × (T − 25))."""
    module = facts["study"]["request"]["module"]
    rows = []
    for row in string_rows(facts["study"]):
        expected = [
            row["in_series"] * module["voc_v"] * (1 + module["temp_coeff_voc_pct_per_c"] / 100 * (t - 25))
            for t in CELL_TEMPERATURES_C
        ]
        rows += [
            {
                "name": f"{row['plane']}, input {row['input']}" + (f", no. {n + 1}" if row["strings"] > 1 else ""),
                "modules": row["in_series"],
                "expected": [f"{short(volts, 0)} V" for volts in expected],
            }
            for n in range(row["strings"])
        ]
    return rows


def torque_places(facts: Mapping[str, Any]) -> Lines:
    asked = facts["study"]["request"]
    found = ["Module clamps", "Rail splices and attachments", "DC disconnect terminals", "Inverter DC and AC terminals"]
    if asked["battery"]:
        found.append("Battery terminals and disconnect")
    if asked["generator"]:
        found.append("Generator terminals and disconnect")
    if facts["system_kind"] != "off_grid":
        found += ["Utility disconnect terminals", "Breaker or tap at the service"]
    else:
        found.append("Output disconnect and main panel")
    if "backup_feeder" in circuits_of(facts["study"]):
        found.append("Backup interface and critical-loads panel")
    found.append("Grounding lugs and electrode conductor")
    return found


def measured_rows(facts: Mapping[str, Any]) -> list[dict[str, str]]:
    study = facts["study"]
    asked = study["request"]
    rows = [
        {"what": "Polarity of every string", "expect": "right at the inverter's input"},
        {
            "what": "Insulation of each pole to ground, array open",
            "expect": "at least 1 MΩ, the tester's voltage as IEC 62446-1 and the makers say",
        },
        {"what": "Continuity of bonding, frames to grounding electrode", "expect": "no open joint"},
        {
            "what": "AC voltage at the inverter's terminals",
            "expect": f"near {short(asked['inverter']['ac_voltage_v'])} V",
        },
        *(
            [
                {
                    "what": "Rapid shutdown: time until conductors are down",
                    "expect": "30 s at most; value as the drawing says",
                }
            ]
            if has_rapid_shutdown(facts)
            else []
        ),
        {"what": "Short-circuit current of each string, with irradiance", "expect": _isc(asked["module"])},
    ]
    if asked["battery"]:
        rows.append({"what": "Battery: voltage and state of charge when connected", "expect": "as the maker says"})
    if facts["system_kind"] == "hybrid":
        rows.append(
            {
                "what": "Grid opened at the main: the critical-loads panel",
                "expect": "stays live, and nothing else does",
            }
        )
    if facts["system_kind"] != "off_grid":
        rows.append(
            {"what": "Grid opened: inverter stops feeding the utility", "expect": "within 2 s, back after its wait"}
        )
    if asked["generator"]:
        alone = "never beside the inverter on the panel"
        rows.append(
            {
                "what": "Generator: starts, takes load, interlock holds",
                "expect": alone if facts["system_kind"] == "off_grid" else "never with the utility",
            }
        )
    rows.append({"what": "Monitoring shows every inverter and battery", "expect": "all reported"})
    return rows


def limits(facts: Mapping[str, Any]) -> str:
    """Where the figures among the expected values come from."""
    parts = ["1 MΩ (IEC 62446-1)", *(["30 s (rapid shutdown)"] if has_rapid_shutdown(facts) else [])]
    if facts["system_kind"] != "off_grid":
        parts.append("2 s (parting from the grid)")
    what = f"The limits of {listed(parts)} are" if len(parts) > 1 else f"The limit of {parts[0]} is"
    return f"{what} written from memory: the makers' instructions and the adopted codes go before them."


def _isc(module: Mapping[str, Any]) -> str:
    return f"{short(module['isc_a'], 2)} A at 1,000 W/m², in proportion to the light"


def approved(facts: Mapping[str, Any]) -> dict[str, Any]:
    """What the plan reviewers have, against the design on this sheet."""
    permits = [
        f"{p['kind']} {p['number'] or 'not issued yet'}" + (f", issued {day(p['issued_on'])}" if p["issued_on"] else "")
        for p in facts["permits"]
    ]
    return {
        "permits": permits,
        "exempt": _exempt(facts),
        "differs": facts["differs"],
        "same": bool(facts["permits"]) and not facts["differs"],
    }


def _exempt(facts: Mapping[str, Any]) -> str:
    """What holds where no permit is asked for."""
    exempt = facts.get("exempt")
    if not exempt:
        return ""
    since = f"confirmed {day(exempt['on'])}" if exempt["on"] else "not confirmed yet: build nothing before it is"
    return f"No permit is asked for here ({exempt['rule']}; {since}). The codes hold all the same."


def built_lines(facts: Mapping[str, Any]) -> Lines:
    asked = facts["study"]["request"]
    devices = ["inverter", *(name for name in ("battery", "generator") if asked[name])]
    return [
        "Modules: number, model and place on each plane",
        "Strings and inverter inputs",
        f"{listed(devices).capitalize()}: model and serial numbers",
        "Conductor sizes, raceways and overcurrent devices",
        f"Place of every disconnect{' and of rapid shutdown' if has_rapid_shutdown(facts) else ''}",
        "Breaker positions in the panels",
    ]
