"""Whether a candidate passes the code checks, worked out once for all candidates that share what a check looks at."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from sizing.electrical.checks import input_checks, modules_check, voltage_checks
from sizing.electrical.circuit import CircuitNeed, build
from sizing.electrical.circuits import planned
from sizing.electrical.coupled import pv_in_outage
from sizing.electrical.propose import propose
from sizing.electrical.storage import storage_checks
from sizing.electrical.strings import lengths, vmp_hot_v, voc_cold_v
from sizing.electrical.study import connection, fuse_check
from sizing.study.request import CodeEdition, Inverter, Module, StringGroup, StudyRequest
from sizing.study.result import Check, Circuit


@lru_cache(maxsize=1024)
def allowed_lengths(module: Module, inverter: Inverter, record_low_c: float, high_2pct_c: float) -> tuple[int, ...]:
    return tuple(item.modules for item in lengths(module, inverter, record_low_c, high_2pct_c) if item.allowed)


def array_failures(
    request: StudyRequest, record_low_c: float, high_2pct_c: float
) -> tuple[tuple[str, ...], tuple[StringGroup, ...]]:
    """(keys of the failing checks of strings, inputs and fuses, proposed strings)."""
    module, inverter = request.module, request.inverter
    allowed = allowed_lengths(module, inverter, record_low_c, high_2pct_c)
    groups = propose(request.planes, module, inverter, request.inverter_count, allowed)
    checks = [modules_check(request, groups, "")]
    if groups:
        longest = max(group.modules_in_series for group in groups)
        shortest = min(group.modules_in_series for group in groups)
        checks += voltage_checks(
            request,
            voc_cold_v(module, record_low_c) * longest,
            vmp_hot_v(module, high_2pct_c) * shortest,
            module.vmp_v * longest,
        )
        checks += input_checks(request, groups)
        checks.append(fuse_check(request, groups)[0])
    return (*_failing(checks), *_not_built(request, groups, high_2pct_c)), groups


def _not_built(request: StudyRequest, groups: Sequence[StringGroup], high_2pct_c: float) -> tuple[str, ...]:
    """DC circuits that no conductor of the tables carries."""
    out = []
    for plan in planned(request, groups, high_2pct_c):
        if plan.key in ("pv_source", "pv_output"):
            try:
                need = plan.need()
            except ValueError:
                out.append(f"circuit.{plan.key}")
                continue
            if not _can_build(need, request.code_edition):
                out.append(f"circuit.{plan.key}")
    return tuple(out)


@lru_cache(maxsize=4096)
def _can_build(need: CircuitNeed, edition: CodeEdition) -> bool:
    try:
        build(need, edition)
    except ValueError:
        return False
    return True


def supply_failures(request: StudyRequest, high_2pct_c: float) -> tuple[str, ...]:
    """Keys of the failing checks of AC and battery circuits, point of connection and storage."""
    circuits: list[Circuit] = []
    failing: list[str] = []
    for plan in planned(request, (), high_2pct_c):
        try:
            circuits.append(build(plan.need(), request.code_edition)[0])
        except ValueError:
            failing.append(f"circuit.{plan.key}")
    checks = list(connection(request, circuits).checks)
    if request.battery is not None:
        checks += storage_checks(request.battery)
    if (behind := pv_in_outage(request)) is not None:
        checks.append(behind[0])
    return (*failing, *_failing(checks))


def _failing(checks: Sequence[Check]) -> tuple[str, ...]:
    return tuple(check.key for check in checks if not check.passes)
