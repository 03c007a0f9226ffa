"""Strings for a design that names none: every module of every plane on the inverters' inputs, simplest wiring first."""

from __future__ import annotations

from collections.abc import Sequence

from sizing.study.request import Inverter, Module, RoofPlane, StringGroup

Group = tuple[int, int]
"""(modules in series, strings in parallel) on one input."""


def parallel_limit(module: Module, inverter: Inverter) -> int:
    """Strings that one input may take by its connectors and its short-circuit current; at least one."""
    by_current = int((inverter.max_short_circuit_a + 1e-9) / module.isc_a) if module.isc_a > 0 else 1
    return max(1, min(inverter.strings_per_mppt, by_current))


def layouts(modules: int, inputs: int, allowed: Sequence[int], most_parallel: int) -> dict[int, tuple[Group, ...]]:
    """The simplest way to place ``modules`` on exactly 1, 2, ... ``inputs`` inputs (only those that are possible).

    Simplest: fewest strings in parallel, then the most equal lengths.
    """
    groups = [(length, count) for length in allowed for count in range(1, most_parallel + 1)]
    best: dict[tuple[int, int], tuple[Group, ...]] = {(0, 0): ()}
    for used in range(1, inputs + 1):
        for (before, total), layout in list(best.items()):
            if before != used - 1:
                continue
            for group in groups:
                reached = (used, total + group[0] * group[1])
                if reached[1] > modules:
                    continue
                candidate = (*layout, group)
                if reached not in best or _complexity(candidate) < _complexity(best[reached]):
                    best[reached] = candidate
    return {used: layout for (used, total), layout in best.items() if total == modules and used > 0}


def _complexity(layout: tuple[Group, ...]) -> tuple[int, int]:
    lengths = [length for length, _ in layout]
    return sum(count - 1 for _, count in layout), sum(length * length for length in lengths)


def propose(
    planes: Sequence[RoofPlane], module: Module, inverter: Inverter, inverter_count: int, allowed: Sequence[int]
) -> tuple[StringGroup, ...]:
    """String groups; planes with too few or too many modules for the inputs are left out.

    Each input takes strings of one plane and one length. Spare inputs go to the plane with most strings in parallel.
    """
    inputs = inverter.mppt_inputs * inverter_count
    most_parallel = parallel_limit(module, inverter)
    wanted = [plane for plane in planes if plane.modules > 0]
    ways = {plane.name: layouts(plane.modules, inputs, allowed, most_parallel) for plane in wanted}
    chosen: dict[str, int] = {}
    left = inputs
    for plane in sorted(wanted, key=lambda plane: -plane.modules):
        least = min(ways[plane.name], default=None)
        if least is not None and least <= left:
            chosen[plane.name] = least
            left -= least
    while left > 0:
        better = [
            (name, used)
            for name, now in chosen.items()
            for used in ways[name]
            if now < used <= now + left and _complexity(ways[name][used])[0] < _complexity(ways[name][now])[0]
        ]
        if not better:
            break
        name, used = max(better, key=lambda pair: _complexity(ways[pair[0]][chosen[pair[0]]])[0])
        left -= used - chosen[name]
        chosen[name] = used
    out, mppt = [], 0
    for plane in wanted:
        for length, count in sorted(ways[plane.name][chosen[plane.name]], reverse=True) if plane.name in chosen else ():
            mppt += 1
            out.append(StringGroup(plane.name, length, count, mppt))
    return tuple(out)
