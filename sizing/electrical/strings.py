"""How many modules may stand in series: cold voltage above, hot voltage below, and why other lengths fail."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sizing.electrical.tables import table
from sizing.study.request import Inverter, Module

STC_C = 25.0
DWELLING_LIMIT_V = 600.0
"""One- and two-family dwellings, NEC 690.7."""
CELL_RISE_K = 30.0
"""Of a module on a roof over the air on a hot day; common practice, no source."""


def voc_cold_v(module: Module, record_low_c: float) -> float:
    """Open-circuit voltage of one module at the record low by the maker's coefficient. NEC 690.7(A)(1)."""
    return module.voc_v * (1 + module.temp_coeff_voc_pct_per_c / 100 * (record_low_c - STC_C))


def voc_cold_mv_v(voc_v: float, coefficient_mv_per_c: float, record_low_c: float) -> float:
    """The same where the datasheet gives millivolts per degree."""
    return voc_v + coefficient_mv_per_c / 1000 * (record_low_c - STC_C)


def voc_factor(record_low_c: float) -> float:
    """Factor for crystalline silicon without a coefficient. NEC Table 690.7(A). Raises ValueError below -40 °C.

    The table's bands are whole degrees; between two of them the colder one counts.
    """
    if record_low_c >= STC_C:
        return 1.0
    for row in table("voc_factor"):
        if math.floor(record_low_c) >= float(row["from_c"]):
            return float(row["factor"])
    raise ValueError("Table 690.7(A) ends at -40 °C")


def vmp_at_v(module: Module, cell_c: float) -> float:
    """Maximum-power voltage of one module at a cell temperature; by the coefficient of power, the safe side."""
    return module.vmp_v * (1 + module.temp_coeff_pmax_pct_per_c / 100 * (cell_c - STC_C))


def vmp_hot_v(module: Module, high_2pct_c: float, rise_k: float = CELL_RISE_K) -> float:
    """Maximum-power voltage of one module on a hot day."""
    return vmp_at_v(module, high_2pct_c + rise_k)


@dataclass(frozen=True)
class Length:
    """One number of modules in series and what becomes of it; ``reason`` is empty where it is allowed."""

    modules: int
    voc_cold_v: float
    vmp_hot_v: float
    reason: str = ""

    @property
    def allowed(self) -> bool:
        return not self.reason


def voltage_limit_v(inverter: Inverter, dwelling: bool = True) -> float:
    """What a string may reach on the coldest day."""
    return min(inverter.max_dc_voltage_v, DWELLING_LIMIT_V) if dwelling else inverter.max_dc_voltage_v


def lengths(
    module: Module, inverter: Inverter, record_low_c: float, high_2pct_c: float, *, up_to: int = 30
) -> tuple[Length, ...]:
    """Every length from 1 on, with the reason where it can't be used. Ends two past the longest that is allowed."""
    cold, hot = voc_cold_v(module, record_low_c), vmp_hot_v(module, high_2pct_c)
    cold_running = vmp_at_v(module, record_low_c)
    limit = voltage_limit_v(inverter)
    out: list[Length] = []
    too_long = 0
    for count in range(1, up_to + 1):
        reason = ""
        if count * cold > limit + 1e-9:
            whose = "the 600 V limit of dwellings" if limit >= DWELLING_LIMIT_V else "the inverter's maximum"
            reason = f"{count * cold:.0f} V on the coldest day, above {whose} ({limit:.0f} V)"
            too_long += 1
        elif count * hot < inverter.mppt_min_v - 1e-9:
            reason = f"{count * hot:.0f} V on a hot day, below the tracking window ({inverter.mppt_min_v:.0f} V)"
        elif count * hot > inverter.mppt_max_v + 1e-9:
            reason = f"{count * hot:.0f} V even on a hot day, above the tracking window ({inverter.mppt_max_v:.0f} V)"
        elif count * cold_running > inverter.mppt_max_v + 1e-9 and count * module.vmp_v > inverter.mppt_max_v:
            reason = (
                f"{count * module.vmp_v:.0f} V in normal sun, above the tracking window ({inverter.mppt_max_v:.0f} V)"
            )
        out.append(Length(count, count * cold, count * hot, reason))
        if too_long == 2:
            break
    return tuple(out)
