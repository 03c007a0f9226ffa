"""The fixed columns of a TMY2 file.

Source: Marion and Urban, User's Manual for TMY2s, NREL/SP-463-7668, tables 3-1 and 3-2. Columns there count from 1.
Read here by columns because splitting the header at spaces loses every city whose name has two words.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from sizing.climate.hours import Floats
from sizing.errors import InputError


@dataclass(frozen=True)
class Tmy2Header:
    city: str
    state: str
    utc_offset_h: float
    latitude_deg: float
    longitude_deg: float
    elevation_m: float


_CALENDAR = ((4, 5), (6, 7), (8, 9))
_FIELDS = {
    # name: (first column, last column, value in unit per count, code for missing)
    "ghi": (18, 21, 1.0, 9999),
    "dni": (24, 27, 1.0, 9999),
    "dhi": (30, 33, 1.0, 9999),
    "temp_air_c": (68, 71, 0.1, 9999),
    "wind_speed_m_s": (96, 98, 0.1, 999),
}


def parse_header(line: str) -> Tmy2Header:
    """The first line of a TMY2 file; north and east positive."""
    latitude = int(line[39:41]) + int(line[42:44]) / 60.0
    longitude = int(line[47:50]) + int(line[51:53]) / 60.0
    return Tmy2Header(
        city=line[7:29].strip().title(),
        state=line[30:32].strip(),
        utc_offset_h=float(line[33:36]),
        latitude_deg=latitude if line[37] == "N" else -latitude,
        longitude_deg=longitude if line[45] == "E" else -longitude,
        elevation_m=float(line[55:59]),
    )


def read_tmy2(path: Path) -> tuple[Tmy2Header, dict[str, Floats], tuple[Floats, Floats, Floats]]:
    """Header, hourly values (W/m2, degrees C, m/s; missing is NaN) and month, day, hour (0 to 23) of each row."""
    lines = path.read_text(encoding="ascii", errors="replace").splitlines()
    header = parse_header(lines[0])
    rows = [line for line in lines[1:] if line.strip()]
    for number, row in enumerate(rows, start=2):
        if len(row) < 98:
            raise InputError("climate.file", f"line {number} of {path.name} is cut short ({len(row)} characters)")

    def column(first: int, last: int) -> Floats:
        return np.array([int(row[first - 1 : last]) for row in rows], dtype=np.float64)

    values: dict[str, Floats] = {}
    for name, (first, last, scale, missing) in _FIELDS.items():
        counts = column(first, last)
        counts[counts == missing] = np.nan
        values[name] = counts * scale
    month, day, hour = (column(first, last) for first, last in _CALENDAR)
    return header, values, (month, day, hour - 1.0)
