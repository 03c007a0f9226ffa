"""The service load of a dwelling, worked out by both methods from nameplates; nothing of it is stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from projects.models import Job

FIXED_VOLTAGE_V = 200.0
"""Lines above it are taken as fastened in place: 208, 230 and 240 V."""


@dataclass(frozen=True)
class ServiceAnswer:
    """One method's answer; ``working`` are sizing's lines."""

    total_va: float
    current_a: float
    service_a: float
    working: Sequence[Any]


@dataclass(frozen=True)
class ServiceLoads:
    optional: ServiceAnswer
    standard: ServiceAnswer


def service_loads(voltage_v: float = 240.0, **dwelling: Any) -> ServiceLoads:
    """By NEC 220.82 and by 220.40 and following; keywords are those of ``sizing.loads.dwelling.Dwelling``."""
    from sizing.loads.dwelling import Dwelling, optional_method, standard_method

    house = Dwelling(**dwelling)
    return ServiceLoads(
        *(_answer(method(house, voltage_v)) for method in (optional_method, standard_method)),
    )


def _answer(load: Any) -> ServiceAnswer:
    return ServiceAnswer(load.total_va, load.current_a, load.service_a, load.working)


def nameplates_of(job: Job) -> dict[str, Any]:
    """What the load worksheet says of it: heating, cooling, and what is fastened in place as [(name, VA)]."""
    heat, cooling, fixed = 0.0, 0.0, []
    for line in job.load_lines.all():
        va = line.watts * line.count
        if line.kind == "electric_heat":
            heat += va
        elif line.kind == "central_air":
            cooling += va
        elif line.voltage_v > FIXED_VOLTAGE_V:
            fixed.append((line.name, va))
    return {"heat_va": heat, "cooling_va": cooling, "fixed": fixed}
