"""The labels and plaques a system carries, with its own numbers on them.

Wording is from memory of each section and short on purpose: the jurisdiction and the utility may ask for their own.
"""

from __future__ import annotations

from dataclasses import dataclass

from sizing.electrical.circuits import sources_on_backup_panel
from sizing.electrical.editions import section
from sizing.study.request import StudyRequest
from sizing.study.result import Circuit, Electrical


@dataclass(frozen=True)
class Label:
    key: str
    place: str
    """Where it goes, in plain words."""
    text: tuple[str, ...]
    """Line by line."""
    source: str


def labels(request: StudyRequest, electrical: Electrical) -> tuple[Label, ...]:
    """Every label of a design, from the array to the service. Numbers are those of the study."""
    circuits = {circuit.key: circuit for circuit in electrical.circuits}
    out: list[Label] = []
    if "pv_source" in circuits:
        out += _array_labels(request, electrical, circuits)
    if request.battery is not None:
        out.append(_battery_label(request))
    if request.system_type == "off_grid":
        return (*out, _stand_alone_plaque(request))
    output = circuits.get("inverter_output")
    if output is not None:
        out += _grid_labels(request, output, circuits)
    if request.inverter.backup_power_w > 0 or sources_on_backup_panel(request):
        out.append(
            Label(
                "backup_panel",
                "Critical-loads panel",
                ("WARNING", "THIS PANEL IS SUPPLIED BY A SECOND POWER SOURCE", "IT MAY BE LIVE WHEN THE GRID IS DOWN"),
                section("stand_alone", request.code_edition),
            )
        )
    return tuple(out)


def _array_labels(request: StudyRequest, electrical: Electrical, circuits: dict[str, Circuit]) -> list[Label]:
    edition = request.code_edition
    busiest = circuits.get("pv_output", circuits["pv_source"])
    # A house off the grid has no service: whoever comes looks where its plaque is.
    off_grid = request.system_type == "off_grid"
    seen_first = "Outside, where it is seen first," if off_grid else "At the service equipment"
    return [
        Label(
            "dc_disconnect",
            "DC disconnect of the array",
            (
                "PHOTOVOLTAIC SYSTEM DC DISCONNECT",
                f"MAXIMUM VOLTAGE {electrical.voc_cold_v:.0f} V DC",
                f"MAXIMUM CIRCUIT CURRENT {busiest.current_a:.1f} A",
                "TERMINALS MAY BE LIVE IN THE OPEN POSITION",
            ),
            section("dc_label", edition),
        ),
        Label(
            "dc_raceway",
            "DC raceways, every 10 ft, at turns and at both sides of walls",
            ("WARNING: PHOTOVOLTAIC POWER SOURCE",),
            section("dc_raceway_label", edition),
        ),
        Label(
            "rapid_shutdown",
            f"{seen_first} and at the rapid shutdown switch",
            (
                "SOLAR PV SYSTEM EQUIPPED WITH RAPID SHUTDOWN",
                "TURN RAPID SHUTDOWN SWITCH TO OFF TO SHUT DOWN PV SYSTEM",
                "AND REDUCE SHOCK HAZARD IN ARRAY",
            ),
            section("rapid_shutdown_label", edition),
        ),
    ]


def _battery_label(request: StudyRequest) -> Label:
    battery = request.battery
    assert battery is not None
    volts = request.service.voltage_v if battery.coupling == "ac" else battery.circuit_voltage_v
    return Label(
        "battery_disconnect",
        "Disconnect of the energy storage",
        (
            "ENERGY STORAGE SYSTEM DISCONNECT",
            f"NOMINAL VOLTAGE {volts:g} V {'AC' if battery.coupling == 'ac' else 'DC'}",
            f"CAPACITY {battery.usable_kwh * battery.units:g} kWh",
            "AVAILABLE FAULT CURRENT ______ A   DATE ______",
        ),
        section("storage_label", request.code_edition),
    )


def _stand_alone_plaque(request: StudyRequest) -> Label:
    """Tells whoever comes to the house, firefighters above all, that it has power of its own and where it is parted."""
    return Label(
        "stand_alone",
        "Outside, where it is seen first: plaque of the house that makes its own power",
        (
            "STAND-ALONE ELECTRICAL POWER SYSTEM",
            "PHOTOVOLTAIC SYSTEM"
            + (", ENERGY STORAGE" if request.battery else "")
            + (", GENERATOR" if request.generator else ""),
            "DISCONNECTS AT ______________________",
        ),
        section("stand_alone_directory", request.code_edition),
    )


def _grid_labels(request: StudyRequest, output: Circuit, circuits: dict[str, Circuit]) -> list[Label]:
    edition, service = request.code_edition, request.service
    total_a = output.current_a * request.inverter_count
    shared = circuits.get("backup_feeder") if sources_on_backup_panel(request) else None
    if shared is not None:
        total_a = shared.current_a
    out = [
        Label(
            "ac_disconnect",
            "AC disconnect of the inverters" if shared is None else "AC disconnect of inverters and energy storage",
            (
                f"PHOTOVOLTAIC {'' if shared is None else 'AND ENERGY STORAGE '}SYSTEM AC DISCONNECT",
                f"RATED OUTPUT CURRENT {total_a:.1f} A",
                f"NOMINAL VOLTAGE {request.inverter.ac_voltage_v:.0f} V AC",
            ),
            section("ac_label", edition),
        ),
        Label(
            "sources",
            "Service equipment: plaque or directory of all power sources and their disconnects",
            (
                "CAUTION: MORE THAN ONE SOURCE OF POWER",
                "UTILITY, PHOTOVOLTAIC SYSTEM"
                + (", ENERGY STORAGE" if request.battery else "")
                + (", GENERATOR" if request.generator else ""),
            ),
            section("directory", edition),
        ),
    ]
    if shared is not None:  # its busbar carries them by the same rule, so their breakers stay where they are too
        out.append(
            Label(
                "backup_breaker",
                "Beside the breakers of inverters and energy storage in the critical-loads panel",
                ("WARNING: POWER SOURCE OUTPUT CONNECTION", "DO NOT RELOCATE THIS OVERCURRENT DEVICE"),
                section("busbar", edition),
            )
        )
    if service.connection == "busbar_opposite_end":
        out.append(
            Label(
                "breaker",
                "Beside the inverters' breaker in the main panel"
                if shared is None
                else "Beside the breaker of inverters and energy storage in the main panel",
                ("WARNING: POWER SOURCE OUTPUT CONNECTION", "DO NOT RELOCATE THIS OVERCURRENT DEVICE"),
                section("busbar", edition),
            )
        )
    return out
