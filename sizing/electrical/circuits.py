"""Which circuits a design has, and what each must carry."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import NamedTuple

from sizing.electrical.circuit import CircuitNeed
from sizing.electrical.conductors import conduit_ambient_c
from sizing.electrical.overcurrent import next_rating_a, string_fuses
from sizing.electrical.strings import vmp_hot_v
from sizing.study.request import Battery, Generator, StringGroup, StudyRequest
from sizing.working import Term

CONTINUOUS = 1.25
FEEDER_LABEL = "Feeder of the critical-loads panel"
GENERATOR_FACTOR = 1.15


@dataclass(frozen=True)
class Planned:
    """A circuit the design has; ``need`` works out what it must carry and raises ValueError beyond the tables."""

    key: str
    label: str
    need: Callable[[], CircuitNeed]


def planned(request: StudyRequest, groups: Sequence[StringGroup], high_2pct_c: float) -> list[Planned]:
    """Every circuit of the design in the order of the single-line diagram, array first."""
    out = []
    if groups:
        out.append(Planned("pv_source", "PV source circuits", partial(_source_circuit, request, groups, high_2pct_c)))
        if _joined(request, groups):
            out.append(Planned("pv_output", "PV output circuit", partial(_output, request, groups, high_2pct_c)))
    out.append(Planned("inverter_output", "Inverter output", partial(_inverter_output, request, high_2pct_c)))
    if request.battery is not None:
        out.append(Planned("battery", "Battery", partial(_battery, request, request.battery, high_2pct_c)))
    if sources_on_backup_panel(request):
        feeder = partial(_joint_feeder, request, high_2pct_c)
        out.append(Planned("backup_feeder", FEEDER_LABEL, feeder))
    elif request.inverter.backup_power_w > 0 and request.system_type != "off_grid":
        feeder = partial(_backup_feeder, request, high_2pct_c)
        out.append(Planned("backup_feeder", FEEDER_LABEL, feeder))
    if request.generator is not None:
        out.append(Planned("generator", "Generator", partial(_generator, request, request.generator, high_2pct_c)))
    return out


def sources_on_backup_panel(request: StudyRequest) -> bool:
    """Whether PV and battery meet in the critical-loads panel: a battery with its own inverter, beside a grid.

    In an outage the battery's inverter forms the grid that the PV inverter follows, so both stand behind the backup
    interface, and one feeder joins them to the main panel. Common practice, no source.
    """
    return request.system_type == "hybrid" and request.battery is not None and request.battery.coupling == "ac"


def strings_by_input(groups: Sequence[StringGroup]) -> dict[int, int]:
    """Strings in parallel on each input."""
    out: dict[int, int] = {}
    for group in groups:
        out[group.mppt] = out.get(group.mppt, 0) + group.strings
    return out


def _joined(request: StudyRequest, groups: Sequence[StringGroup]) -> dict[int, int]:
    """Inputs whose strings meet in a combiner box because the inverter has no connector for each."""
    by_input = strings_by_input(groups)
    return {mppt: count for mppt, count in by_input.items() if count > request.inverter.strings_per_mppt}


def _source_circuit(request: StudyRequest, groups: Sequence[StringGroup], high_2pct_c: float) -> CircuitNeed:
    module, runs = request.module, request.runs
    current = module.isc_a * 1.25
    strings = sum(group.strings for group in groups)
    most_parallel = max(strings_by_input(groups).values())
    fuses = string_fuses(module.isc_a, most_parallel, module.max_series_fuse_a)
    shortest = min(group.modules_in_series for group in groups)
    return CircuitNeed(
        key="pv_source",
        label="PV source circuits" if strings > 1 else "PV source circuit",
        current_a=current,
        continuous_factor=CONTINUOUS,
        current_formula="1.25 × Isc",
        current_terms=(Term("Isc", module.isc_a, "A", module.name),),
        current_rule="dc_current",
        operating_a=module.imp_a,
        voltage_v=vmp_hot_v(module, high_2pct_c) * shortest,
        ambient_c=conduit_ambient_c(high_2pct_c, runs.dc_on_roof, runs.conduit_above_roof_mm),
        current_carrying=2 * strings,
        power_conductors=2 * strings,
        overcurrent_a=fuses.rating_a,
        ground_basis_a=fuses.rating_a or next_rating_a(current * CONTINUOUS),
        length_m=runs.dc_m,
        array_side=True,
    )


def _output(request: StudyRequest, groups: Sequence[StringGroup], high_2pct_c: float) -> CircuitNeed:
    """From a combiner box to the inverter; the input with most strings settles the size of all.

    Sized for the sum of its strings' maximum currents, so it needs no overcurrent device of its own.
    """
    module, runs = request.module, request.runs
    joined = _joined(request, groups)
    mppt, strings = max(joined.items(), key=lambda pair: pair[1])
    shortest = min(group.modules_in_series for group in groups if group.mppt == mppt)
    current = module.isc_a * 1.25 * strings
    return CircuitNeed(
        key="pv_output",
        label="PV output circuit" if len(joined) == 1 else f"PV output circuits, each of {len(joined)}",
        current_a=current,
        continuous_factor=CONTINUOUS,
        current_formula="n × 1.25 × Isc",
        current_terms=(Term("n", float(strings), "", "strings"), Term("Isc", module.isc_a, "A", module.name)),
        current_rule="dc_current",
        operating_a=module.imp_a * strings,
        voltage_v=vmp_hot_v(module, high_2pct_c) * shortest,
        ambient_c=conduit_ambient_c(high_2pct_c, runs.dc_on_roof, runs.conduit_above_roof_mm),
        current_carrying=2 * len(joined),
        power_conductors=2 * len(joined),
        overcurrent_a=None,
        ground_basis_a=next_rating_a(current * CONTINUOUS),
        length_m=runs.dc_m,
        array_side=True,
    )


class AcRules(NamedTuple):
    """Names of the rules behind an AC or battery circuit: its current, its conductors, its overcurrent device."""

    current: str
    size: str
    overcurrent: str


INVERTER = AcRules("inverter_current", "source_circuit", "source_overcurrent")
STORAGE = AcRules("storage_current", "storage_size", "storage_overcurrent")
JOINT = AcRules("source_circuit", "source_circuit", "source_overcurrent")
STAND_ALONE = AcRules("stand_alone", "feeder_size", "feeder_overcurrent")
GENERATOR = AcRules("generator", "generator", "generator_overcurrent")


def _ac(
    request: StudyRequest,
    key: str,
    label: str,
    power_w: float,
    length_m: float,
    high_2pct_c: float,
    rules: AcRules,
    *,
    voltage_v: float | None = None,
    factor: float = CONTINUOUS,
    power_conductors: int = 3,
    note: str = "",
) -> CircuitNeed:
    volts = voltage_v or request.inverter.ac_voltage_v
    current = power_w / volts
    overcurrent = next_rating_a(current * factor)
    return CircuitNeed(
        key=key,
        label=label,
        current_a=current,
        continuous_factor=factor,
        current_formula="P / V",
        current_terms=(Term("P", power_w, "W", note), Term("V", volts, "V")),
        current_rule=rules.current,
        operating_a=current,
        voltage_v=volts,
        ambient_c=high_2pct_c,
        current_carrying=2,
        power_conductors=power_conductors,
        overcurrent_a=overcurrent,
        ground_basis_a=overcurrent,
        length_m=length_m,
        size_rule=rules.size,
        overcurrent_rule=rules.overcurrent,
    )


def _inverter_output(request: StudyRequest, high_2pct_c: float) -> CircuitNeed:
    count = request.inverter_count
    label = "Inverter output" if count == 1 else f"Inverter output, each of {count}"
    return _ac(
        request,
        "inverter_output",
        label,
        request.inverter.ac_power_w,
        request.runs.ac_m,
        high_2pct_c,
        STAND_ALONE if request.system_type == "off_grid" else INVERTER,
        note="rated output of one inverter",
    )


def _battery(request: StudyRequest, battery: Battery, high_2pct_c: float) -> CircuitNeed:
    label = "Battery" if battery.units == 1 else f"Battery, each of {battery.units}"
    return _ac(
        request,
        "battery",
        label,
        max(battery.max_charge_kw, battery.max_discharge_kw) * 1000,
        request.runs.battery_m,
        high_2pct_c,
        STORAGE,
        voltage_v=request.service.voltage_v if battery.coupling == "ac" else battery.circuit_voltage_v,
        power_conductors=3 if battery.coupling == "ac" else 2,
        note="larger of charge and discharge limit of one unit",
    )


def _backup_feeder(request: StudyRequest, high_2pct_c: float) -> CircuitNeed:
    return _ac(
        request,
        "backup_feeder",
        FEEDER_LABEL,
        request.inverter.backup_power_w * request.inverter_count,
        request.runs.ac_m,
        high_2pct_c,
        STAND_ALONE,
        note="backup rating of all inverters",
    )


def _joint_feeder(request: StudyRequest, high_2pct_c: float) -> CircuitNeed:
    """What PV inverters and batteries send to the main panel together; its device limits what the loads draw."""
    battery = request.battery
    assert battery is not None
    stored_w = max(battery.max_charge_kw, battery.max_discharge_kw) * 1000 * battery.units
    made_w = request.inverter.ac_power_w * request.inverter_count
    need = _ac(
        request,
        "backup_feeder",
        FEEDER_LABEL,
        made_w + stored_w,
        request.runs.ac_m,
        high_2pct_c,
        JOINT,
        voltage_v=request.service.voltage_v,
    )
    return replace(
        need,
        current_formula="(P_pv + P_batt) / V",
        current_terms=(
            Term("P_pv", made_w, "W", "rated output of all inverters"),
            Term("P_batt", stored_w, "W", "larger of charge and discharge limit of all units"),
            Term("V", request.service.voltage_v, "V"),
        ),
    )


def _generator(request: StudyRequest, generator: Generator, high_2pct_c: float) -> CircuitNeed:
    return _ac(
        request,
        "generator",
        "Generator",
        generator.power_w,
        request.runs.ac_m,
        high_2pct_c,
        GENERATOR,
        factor=GENERATOR_FACTOR,
        note="nameplate",
    )
