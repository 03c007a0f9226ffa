"""Checks of strings against the inverter's inputs and the code's voltage limit."""

from __future__ import annotations

from collections.abc import Sequence

from sizing.electrical.circuit import DROP_AIM_PCT
from sizing.electrical.circuits import strings_by_input
from sizing.electrical.editions import section
from sizing.electrical.strings import voltage_limit_v
from sizing.study.request import CodeEdition, StringGroup, StudyRequest
from sizing.study.result import Check, Circuit


def voltage_checks(request: StudyRequest, voc_cold: float, vmp_hot: float, vmp_long: float) -> list[Check]:
    """Longest string cold, shortest string hot, longest string in normal sun. V, whole strings."""
    inverter, edition = request.inverter, request.code_edition
    limit = voltage_limit_v(inverter)
    cold_ok, hot_ok, window_ok = voc_cold <= limit, vmp_hot >= inverter.mppt_min_v, vmp_long <= inverter.mppt_max_v
    return [
        Check(
            "string.voc_cold",
            "Open-circuit voltage of the longest string at the record low",
            cold_ok,
            f"{voc_cold:.1f} V",
            f"{limit:.0f} V",
            f"{section('voc_max', edition)}; "
            + ("600 V limit of one- and two-family dwellings" if limit >= 600 else "inverter maximum"),
            ""
            if cold_ok
            else "Take modules out of the string: too much voltage destroys the inverter and is a hazard.",
        ),
        Check(
            "string.vmp_hot",
            "Operating voltage of the shortest string on a hot day",
            hot_ok,
            f"{vmp_hot:.1f} V",
            f"{inverter.mppt_min_v:.0f} V at least",
            f"inverter datasheet ({section('follow_listing', edition)}); 30 K rise: common practice",
            "" if hot_ok else "Add modules to the string, or it drops out of the tracking window on hot afternoons.",
        ),
        Check(
            "string.vmp_window",
            "Operating voltage of the longest string in normal sun",
            window_ok,
            f"{vmp_long:.1f} V",
            f"{inverter.mppt_max_v:.0f} V at most",
            f"inverter datasheet ({section('follow_listing', edition)})",
            "" if window_ok else "Shorten the string: above the tracking window the inverter can't use all its power.",
        ),
    ]


def input_checks(request: StudyRequest, groups: Sequence[StringGroup]) -> list[Check]:
    """Each input's current, short-circuit current and connectors; all inputs together."""
    inverter, module, edition = request.inverter, request.module, request.code_edition
    by_input = strings_by_input(groups)
    most = max(by_input.values(), default=0)
    inputs = inverter.mppt_inputs * request.inverter_count
    short, working = most * module.isc_a, most * module.imp_a
    short_ok, working_ok = short <= inverter.max_short_circuit_a + 1e-9, working <= inverter.max_input_current_a + 1e-9
    used_ok = not by_input or max(by_input) <= inputs
    mixed = sorted(
        {g.mppt for g in groups for h in groups if g.mppt == h.mppt and g.modules_in_series != h.modules_in_series}
    )
    source = f"inverter datasheet ({section('follow_listing', edition)})"
    return [
        Check(
            "input.short_circuit",
            "Short-circuit current of the busiest input",
            short_ok,
            f"{short:.1f} A",
            f"{inverter.max_short_circuit_a:.1f} A",
            source + "; compared at standard test conditions, as makers state it",
            "" if short_ok else "Put fewer strings on this input or choose an inverter with a stronger one.",
        ),
        Check(
            "input.current",
            "Operating current of the busiest input",
            working_ok,
            f"{working:.1f} A",
            f"{inverter.max_input_current_a:.1f} A",
            source,
            ""
            if working_ok
            else "Not a hazard, but the inverter clips what is above its input current. Spread the strings.",
        ),
        Check(
            "input.count",
            "Inputs used",
            used_ok,
            f"input {max(by_input, default=0)}",
            f"{inputs} inputs",
            source,
            "" if used_ok else "There are more inputs named than the inverters have.",
        ),
        Check(
            "input.equal_lengths",
            "Strings in parallel have equal lengths",
            not mixed,
            "equal" if not mixed else "unequal on input " + ", ".join(map(str, mixed)),
            "equal on each input",
            "common practice, no source",
            ""
            if not mixed
            else "Unequal strings on one input pull each other off their best voltage. Use another input.",
        ),
    ]


def modules_check(request: StudyRequest, groups: Sequence[StringGroup], why: str) -> Check:
    """Every module of every plane stands in a string."""
    wired: dict[str, int] = {}
    for group in groups:
        wired[group.plane] = wired.get(group.plane, 0) + group.modules_in_series * group.strings
    wrong = [plane.name for plane in request.planes if wired.get(plane.name, 0) != plane.modules]
    total = sum(plane.modules for plane in request.planes)
    return Check(
        "string.modules",
        "Every module is in a string",
        not wrong,
        f"{sum(wired.values())} in strings",
        f"{total} on the roof",
        "design",
        "" if not wrong else f"The strings of {', '.join(wrong)} don't match its modules. {why}".strip(),
    )


def drop_check(circuit: Circuit, edition: CodeEdition) -> Check:
    """Voltage drop of one circuit against the usual aim."""
    passes = circuit.voltage_drop_pct <= DROP_AIM_PCT
    return Check(
        f"voltage_drop.{circuit.key}",
        f"Voltage drop: {circuit.label}",
        passes,
        f"{circuit.voltage_drop_pct:.2f} %",
        f"{DROP_AIM_PCT:g} % (advice)",
        section("voltage_drop", edition),
        "" if passes else "Shorten the run or use larger conductors.",
    )
