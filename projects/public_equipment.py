"""Public lists of modules and inverters, as pvlib carries them: looked up by words, read into fields of the catalogue.

The lists are those of the California Energy Commission in the edition of March 2019. They give electrical ratings only:
what they don't have stays empty for the datasheet, and nothing is taken into the catalogue before somebody has read and
saved it.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator, Mapping
from importlib.util import find_spec
from pathlib import Path
from typing import Any

FILES = {
    "modules": "sam-library-cec-modules-2019-03-05.csv",
    "inverters": "sam-library-cec-inverters-2019-03-05.csv",
}
MOST_FOUND = 40
NAME_LENGTH = 80
HEAD_ROWS = 2
"""Rows of units and of the model's variable names under the head."""
WEIGHTS = ((0.10, 0.04), (0.20, 0.05), (0.30, 0.12), (0.50, 0.21), (0.75, 0.53), (1.00, 0.05))
"""Shares of rated power and their weights in the Commission's weighted efficiency; from memory."""

Row = Mapping[str, str]


def look_up(noun: str, words: str) -> tuple[list[dict[str, Any]], int]:
    """(fields of the first rows whose name has all the words, how many there are). Nothing for no words."""
    wanted = words.lower().split()
    if not wanted:
        return [], 0
    found, count = [], 0
    for row in _rows(noun):
        if all(word in row["Name"].lower() for word in wanted):
            count += 1
            if count <= MOST_FOUND:
                found.append({"listed": row["Name"], **_fields(noun, row)})
    return found, count


def fields_of(noun: str, name: str) -> dict[str, Any] | None:
    """Fields of the catalogue as the list has them for exactly this name; None where it has no such row."""
    row = next((row for row in _rows(noun) if row["Name"] == name), None)
    return None if row is None else _fields(noun, row)


def _rows(noun: str) -> Iterator[Row]:
    spec = find_spec("pvlib")
    folder = Path(spec.origin).parent / "data" if spec and spec.origin else Path()
    with (folder / FILES[noun]).open(encoding="utf-8", newline="") as file:
        for number, row in enumerate(csv.DictReader(file)):
            if number >= HEAD_ROWS:
                yield row


def _fields(noun: str, row: Row) -> dict[str, Any]:
    return _module(row) if noun == "modules" else _inverter(row)


def _module(row: Row) -> dict[str, Any]:
    voc_v, vmp_v, imp_a = _number(row, "V_oc_ref"), _number(row, "V_mp_ref"), _number(row, "I_mp_ref")
    beta_v_per_c = _number(row, "beta_oc")
    return {
        "name": row["Name"][:NAME_LENGTH].strip(),
        "power_w": _rounded(_number(row, "STC"), 1),
        "voc_v": voc_v,
        "isc_a": _number(row, "I_sc_ref"),
        "vmp_v": vmp_v,
        "imp_a": imp_a,
        "temp_coeff_pmax_pct_per_c": _number(row, "gamma_r"),
        # The list has volts per degree; datasheets and the code's arithmetic want percent.
        "temp_coeff_voc_pct_per_c": _rounded(100 * beta_v_per_c / voc_v, 3) if beta_v_per_c and voc_v else None,
        "noct_c": _number(row, "T_NOCT"),
        "length_m": _number(row, "Length"),
        "width_m": _number(row, "Width"),
    }


def _inverter(row: Row) -> dict[str, Any]:
    return {
        "name": row["Name"][:NAME_LENGTH].strip(),
        "ac_power_w": _rounded(_number(row, "Paco"), 0),
        "ac_voltage_v": _number(row, "Vac"),
        "max_dc_voltage_v": _number(row, "Vdcmax"),
        "mppt_min_v": _number(row, "Mppt_low"),
        "mppt_max_v": _number(row, "Mppt_high"),
        "efficiency": _rounded(weighted_efficiency(row), 4),
    }


def weighted_efficiency(row: Row) -> float | None:
    """At the list's nominal voltage, from its part-load curve (King and others 2007, SAND2007-5036).

    Pac = (Paco / (A - B) - C (A - B)) (Pdc - B) + C (Pdc - B)^2 with A = Pdco, B = Pso, C = C0, solved for Pdc.
    """
    paco, pdco, pso, c0 = (_number(row, key) for key in ("Paco", "Pdco", "Pso", "C0"))
    if paco is None or pdco is None or pso is None or c0 is None or pdco <= pso:
        return None
    slope = paco / (pdco - pso) - c0 * (pdco - pso)
    total = 0.0
    for share, weight in WEIGHTS:
        out = share * paco
        if abs(c0) < 1e-15:
            above = out / slope
        else:
            inside = slope**2 + 4 * c0 * out
            if inside < 0:
                return None
            above = (math.sqrt(inside) - slope) / (2 * c0)
        total += weight * out / (above + pso)
    return total if 0.5 < total < 1.0 else None


def _number(row: Row, key: str) -> float | None:
    try:
        value = float(row.get(key) or "")
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)
