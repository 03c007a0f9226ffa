"""Motor branch circuits and feeders."""

from __future__ import annotations

from collections.abc import Sequence

from sizing.electrical.overcurrent import largest_rating_up_to_a, next_rating_a
from sizing.electrical.tables import table


def full_load_a(horsepower: float, voltage_v: int) -> float:
    """Full-load current of a single-phase motor at 115, 208 or 230 V. Source: NEC Table 430.248. Raises KeyError."""
    for row in table("motor_current"):
        if abs(float(row["horsepower"]) - horsepower) < 0.01:
            return float(row[f"a_{voltage_v}v"])
    raise KeyError(f"no row for {horsepower:g} hp")


def branch_ampacity_a(full_load: float) -> float:
    """Smallest ampacity of a motor's branch circuit, 125 %. Source: NEC 430.22."""
    return 1.25 * full_load


def branch_device_a(full_load: float, share: float = 2.5) -> float:
    """Largest branch device: 250 % for a breaker (150 % wound rotor), next size up. Source: NEC 430.52(C)(1)."""
    return next_rating_a(full_load * share)


def feeder_ampacity_a(full_loads: Sequence[float]) -> float:
    """Ampacity of a feeder of several motors: 125 % of the largest plus the others. Source: NEC 430.24."""
    return 1.25 * max(full_loads) + sum(full_loads) - max(full_loads)


def feeder_device_a(largest_branch_device_a: float, other_full_loads: Sequence[float]) -> float | None:
    """Largest feeder device: the largest branch device plus the other motors, next size down. Source: NEC 430.62."""
    return largest_rating_up_to_a(largest_branch_device_a + sum(other_full_loads))
