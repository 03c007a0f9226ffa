"""The electrical part of a study: strings, circuits, point of connection and every check on them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from sizing.electrical.checks import drop_check, input_checks, modules_check, voltage_checks
from sizing.electrical.circuit import build
from sizing.electrical.circuits import planned, sources_on_backup_panel, strings_by_input
from sizing.electrical.coupled import behind_own_inverter, pv_in_outage
from sizing.electrical.editions import section
from sizing.electrical.interconnection import (
    backup_busbar,
    breaker_space_check,
    busbar_check,
    opposite_end_allowed_a,
    stand_alone_busbar,
    supply_side_check,
)
from sizing.electrical.overcurrent import safety_switch_a, string_fuses
from sizing.electrical.propose import propose
from sizing.electrical.shutdown import on_or_in_a_building, rapid_shutdown
from sizing.electrical.storage import storage_checks
from sizing.electrical.strings import CELL_RISE_K, Length, lengths, vmp_hot_v, voc_cold_v, voc_factor, voltage_limit_v
from sizing.errors import InputError, InputErrors
from sizing.study.request import CodeEdition, StringGroup, StudyRequest
from sizing.study.result import Check, Circuit, Electrical
from sizing.working import Term, Working


def problems(request: StudyRequest) -> list[InputError]:
    """Datasheet values and strings that can't be used."""
    found: list[InputError] = []
    module, inverter = request.module, request.inverter
    for name in ("voc_v", "isc_a", "vmp_v", "imp_a", "power_w"):
        if getattr(module, name) <= 0:
            found.append(InputError(f"module.{name}", "The value must be above 0."))
    if not -1 < module.temp_coeff_voc_pct_per_c < 0:
        found.append(
            InputError("module.temp_coeff_voc_pct_per_c", "The coefficient of Voc is a small negative number in %/°C.")
        )
    if not -1 < module.temp_coeff_pmax_pct_per_c < 0:
        found.append(
            InputError(
                "module.temp_coeff_pmax_pct_per_c", "The coefficient of power is a small negative number in %/°C."
            )
        )
    for name in ("ac_power_w", "ac_voltage_v", "max_dc_voltage_v", "mppt_max_v"):
        if getattr(inverter, name) <= 0:
            found.append(InputError(f"inverter.{name}", "The value must be above 0."))
    for name in ("mppt_inputs", "strings_per_mppt"):
        if getattr(inverter, name) < 1:
            found.append(InputError(f"inverter.{name}", "There must be at least one."))
    if request.inverter_count < 1:
        found.append(InputError("inverter_count", "There must be at least one inverter."))
    names = {plane.name for plane in request.planes}
    for index, group in enumerate(request.strings):
        if group.plane not in names:
            found.append(InputError(f"strings[{index}].plane", f"There is no roof plane called {group.plane}."))
        if group.modules_in_series < 1 or group.strings < 1 or group.mppt < 1:
            found.append(InputError(f"strings[{index}]", "Modules, strings and input count from 1."))
    return found


def study_electrical(
    request: StudyRequest, record_low_c: float, high_2pct_c: float
) -> tuple[Electrical, tuple[Working, ...], tuple[str, ...]]:
    """Strings (proposed where none are given), circuits, interconnection and checks for a code edition.

    ``record_low_c``: extreme annual mean minimum; ``high_2pct_c``: 2 % design dry bulb. It prepares and checks a design
    and never replaces the licensed electrician or the plan review. Raises InputErrors.
    """
    if found := problems(request):
        raise InputErrors(found)
    edition, module = request.code_edition, request.module
    verdicts = lengths(module, request.inverter, record_low_c, high_2pct_c)
    allowed = [length.modules for length in verdicts if length.allowed]
    groups = request.strings or propose(request.planes, module, request.inverter, request.inverter_count, allowed)
    longest = max((group.modules_in_series for group in groups), default=0)
    shortest = min((group.modules_in_series for group in groups), default=0)
    voc_cold = voc_cold_v(module, record_low_c) * longest
    vmp_hot = vmp_hot_v(module, high_2pct_c) * shortest

    warnings: list[str] = []
    working = _string_working(request, record_low_c, high_2pct_c, longest, shortest)
    checks = [modules_check(request, groups, _lengths_in_words(verdicts))]
    if groups:
        checks += voltage_checks(request, voc_cold, vmp_hot, module.vmp_v * longest)
        checks += input_checks(request, groups)
        fuses, backfeed_working = fuse_check(request, groups)
        checks.append(fuses)
        working.append(backfeed_working)
    circuits: list[Circuit] = []
    for plan in planned(request, groups, high_2pct_c):
        try:
            circuit, lines = build(plan.need(), edition)
        except ValueError as problem:
            checks.append(_unbuildable(plan.key, plan.label, str(problem), edition))
            continue
        circuits.append(circuit)
        working += lines
        checks.append(drop_check(circuit, edition))
    joined = connection(request, circuits)
    checks += joined.checks
    working += joined.working
    if request.battery is not None:
        checks += storage_checks(request.battery)
    if (behind := pv_in_outage(request)) is not None:
        checks.append(behind[0])
        working.append(behind[1])
    if not request.strings and groups:
        warnings.append("No strings were given; the study proposes its own. Confirm them against the roof layout.")
    electrical = Electrical(
        strings_proposed=not request.strings,
        strings=tuple((group.plane, group.modules_in_series, group.strings, group.mppt) for group in groups),
        voc_cold_v=voc_cold,
        vmp_hot_v=vmp_hot,
        circuits=tuple(circuits),
        backfeed_breaker_a=joined.breaker_a,
        busbar_allowed_a=joined.allowed_a,
        backup_busbar_a=joined.backup_busbar_a,
        rapid_shutdown=rapid_shutdown(edition, on_building=on_or_in_a_building(request)),
        checks=tuple(checks),
        ac_disconnect_a=_ac_disconnect_a(request, circuits),
        length_verdicts=tuple((length.modules, length.reason) for length in verdicts),
    )
    return electrical, tuple(working), tuple(warnings)


def _ac_disconnect_a(request: StudyRequest, circuits: list[Circuit]) -> float | None:
    key = "backup_feeder" if sources_on_backup_panel(request) else "inverter_output"
    output = next((circuit for circuit in circuits if circuit.key == key), None)
    return safety_switch_a(output.overcurrent_a) if output and output.overcurrent_a else None


def _lengths_in_words(verdicts: tuple[Length, ...]) -> str:
    allowed = [length.modules for length in verdicts if length.allowed]
    if not allowed:
        return "No number of these modules in series suits this inverter: " + "; ".join(
            f"{length.modules}: {length.reason}" for length in verdicts[-2:]
        )
    return f"Strings may have {allowed[0]} to {allowed[-1]} modules, and each input takes strings of one length."


def _unbuildable(key: str, label: str, problem: str, edition: CodeEdition) -> Check:
    return Check(
        f"circuit.{key}",
        f"{label}: conductors",
        False,
        "not sized",
        "one set of conductors",
        section("ampacity", edition),
        f"{problem[0].upper()}{problem[1:]}. An engineer must size this circuit.",
    )


def fuse_check(request: StudyRequest, groups: tuple[StringGroup, ...]) -> tuple[Check, Working]:
    """Whether the strings of the busiest input need fuses, and whether the module takes them."""
    most, module = max(strings_by_input(groups).values()), request.module
    fuses = string_fuses(module.isc_a, most, module.max_series_fuse_a)
    source = section("string_fuse", request.code_edition)
    passes = fuses.rating_a is None or fuses.rating_a <= module.max_series_fuse_a
    check = Check(
        "string.fuses",
        "String fuses",
        passes,
        f"{fuses.rating_a:g} A fuses" if fuses.rating_a else f"none needed ({fuses.backfeed_a:.1f} A backfeed)",
        f"{module.max_series_fuse_a:g} A maximum series fuse",
        source,
        "" if passes else "The fuse needed is above what the module allows: use fewer strings in parallel.",
    )
    working = Working(
        "string.backfeed",
        "Current that the other strings of an input can push into a faulted one",
        "(n − 1) × 1.25 × Isc",
        (Term("n", float(most), "strings", "on the busiest input"), Term("Isc", module.isc_a, "A", module.name)),
        fuses.backfeed_a,
        "A",
        source,
        limit=module.max_series_fuse_a,
        passes=not fuses.required,
        remark=f"Above the limit, so each string has a {fuses.rating_a:g} A fuse."
        if fuses.rating_a
        else "Below the module's maximum series fuse: no fuses are needed.",
    )
    return check, working


class Connection(NamedTuple):
    """What the point of connection needs and allows."""

    breaker_a: float | None = None
    """In the main panel; None where there is none."""
    allowed_a: float | None = None
    """Source current that the main panel's busbar allows."""
    backup_busbar_a: float | None = None
    """Least standard busbar of a critical-loads panel that PV and battery feed; None where they don't."""
    checks: tuple[Check, ...] = ()
    working: tuple[Working, ...] = ()


def connection(request: StudyRequest, circuits: list[Circuit]) -> Connection:
    """The point of connection to the house's service; off the grid, the panel where two sources meet."""
    by_key = {circuit.key: circuit for circuit in circuits}
    output = by_key.get("inverter_output")
    if request.system_type == "off_grid":
        return _stand_alone(request, by_key)
    if output is None or output.overcurrent_a is None:
        return Connection()
    service, edition, sources = request.service, request.code_edition, request.inverter_count
    current, devices, breaker = output.current_a * sources, output.overcurrent_a * sources, output.overcurrent_a
    battery, battery_circuit = request.battery, by_key.get("battery")
    if battery is not None and battery.coupling == "ac" and battery_circuit is not None:
        sources += battery.units
        current += battery_circuit.current_a * battery.units
        devices += (battery_circuit.overcurrent_a or 0.0) * battery.units
    needed, checks, working = None, [], []
    if sources_on_backup_panel(request):
        feeder = by_key.get("backup_feeder")
        if feeder is None or feeder.overcurrent_a is None:
            return Connection()  # the feeder's own check says that no conductor carries it
        sources, devices, breaker = 1, feeder.overcurrent_a, feeder.overcurrent_a
        beyond = _generator_beyond_a(request, by_key)
        named = (
            "PV inverters, batteries, and what a generator gives beyond these"
            if beyond
            else "PV inverters and batteries"
        )
        needed, check, line = backup_busbar(breaker, current + beyond, edition, of=named)
        checks, working = [check], [line]
    if service.connection == "supply_side":
        check, line = supply_side_check(service, devices, edition)
        return Connection(None, None, needed, (check, *checks), (line, *working))
    check, line = busbar_check(service, current, edition)
    allowed = opposite_end_allowed_a(service.busbar_a, service.main_breaker_a)
    spaces = breaker_space_check(service, sources)
    return Connection(breaker, allowed, needed, (check, spaces, *checks), (line, *working))


def _generator_beyond_a(request: StudyRequest, by_key: Mapping[str, Circuit]) -> float:
    """Current that a generator passes on through batteries with inverters of their own, beyond what these give.

    It comes in at the batteries, which pass it on in place of their own output: the larger of the two reaches the
    busbar beside the PV (common practice, no source).
    """
    generator, stored, battery = by_key.get("generator"), by_key.get("battery"), request.battery
    if generator is None or stored is None or battery is None or battery.coupling != "ac":
        return 0.0
    return max(generator.current_a - battery.units * stored.current_a, 0.0)


def _stand_alone(request: StudyRequest, by_key: Mapping[str, Circuit]) -> Connection:
    """Without a utility: one source alone, or PV and AC-coupled battery on one busbar."""
    battery, output, stored = behind_own_inverter(request), by_key.get("inverter_output"), by_key.get("battery")
    if battery is None or output is None or stored is None:
        return Connection()
    sources = [("PV inverter", request.inverter_count, output.current_a), ("battery", battery.units, stored.current_a)]
    if beyond := _generator_beyond_a(request, by_key):
        sources.append(("generator, beyond what the batteries give", 1, beyond))
    check, line = stand_alone_busbar(request.service, sources, request.code_edition)
    return Connection(checks=(check,), working=(line,))


def _string_working(
    request: StudyRequest, record_low_c: float, high_2pct_c: float, longest: int, shortest: int
) -> list[Working]:
    module, edition = request.module, request.code_edition
    limit = voltage_limit_v(request.inverter)
    out = [
        Working(
            "string.voc_cold",
            "Open-circuit voltage of the longest string at the record low",
            "n × Voc × (1 + β / 100 × (T_min − 25))",
            (
                Term("n", float(longest), "modules"),
                Term("Voc", module.voc_v, "V"),
                Term("β", module.temp_coeff_voc_pct_per_c, "%/°C"),
                Term("T_min", record_low_c, "°C"),
            ),
            voc_cold_v(module, record_low_c) * longest,
            "V",
            section("voc_max", edition) + "(1)",
            limit=limit,
            passes=voc_cold_v(module, record_low_c) * longest <= limit,
        ),
        Working(
            "string.vmp_hot",
            "Operating voltage of the shortest string on a hot day",
            "n × Vmp × (1 + γ / 100 × (T_max + ΔT − 25))",
            (
                Term("n", float(shortest), "modules"),
                Term("Vmp", module.vmp_v, "V"),
                Term("γ", module.temp_coeff_pmax_pct_per_c, "%/°C", "of power, the safe side"),
                Term("T_max", high_2pct_c, "°C"),
                Term("ΔT", CELL_RISE_K, "K", "cell over air; common practice, no source"),
            ),
            vmp_hot_v(module, high_2pct_c) * shortest,
            "V",
            "common practice, no source",
            limit=request.inverter.mppt_min_v,
            passes=vmp_hot_v(module, high_2pct_c) * shortest >= request.inverter.mppt_min_v,
        ),
    ]
    if record_low_c >= -40:
        out.append(
            Working(
                "string.voc_cold_by_table",
                "The same by the table's factor, for comparison",
                "n × Voc × f",
                (
                    Term("n", float(longest), "modules"),
                    Term("Voc", module.voc_v, "V"),
                    Term("f", voc_factor(record_low_c), "", f"at {record_low_c:.1f} °C"),
                ),
                module.voc_v * voc_factor(record_low_c) * longest,
                "V",
                f"{edition} NEC Table 690.7(A)",
                remark="The maker's coefficient comes first; the table is for modules without one.",
            )
        )
    return out
