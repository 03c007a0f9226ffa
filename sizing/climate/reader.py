"""Reading typical meteorological years: TMY2, TMY3 and EPW, checked on the way in.

All three label an hour by its *end* (hour 1 is 00:00 to 01:00), so the row order alone gives the hours: row 0 of a
file is the first hour of the year.

Sources: TMY3 manual NREL/TP-581-43156; TMY2 manual NREL/SP-463-7668; EPW: EnergyPlus Auxiliary Programs.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from sizing.climate.checks import check_closure, check_hours
from sizing.climate.epw_header import design_temperatures
from sizing.climate.hours import ClimateHours, Floats, hour_of_day, month_of_hour
from sizing.climate.tmy2 import read_tmy2
from sizing.errors import InputError

FIELD = "climate.file"


def read_typical_year(path: Path) -> ClimateHours:
    """Read a TMY2 (.tm2), TMY3 (.csv) or EPW (.epw) file; raises InputError on the field "climate.file"."""
    if not path.is_file():
        raise InputError(FIELD, f"there is no weather file at {path}")
    stat = path.stat()
    return _read(path, stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=16)
def _read(path: Path, _modified_ns: int, _bytes: int) -> ClimateHours:
    readers = {".tm2": _from_tmy2, ".csv": _from_tmy3, ".epw": _from_epw}
    reader = readers.get(path.suffix.lower())
    if reader is None:
        raise InputError(FIELD, f"{path.name} ends in none of .tm2 (TMY2), .csv (TMY3), .epw (EPW)")
    try:
        climate = reader(path)
    except InputError:
        raise
    except (ValueError, KeyError, IndexError, TypeError, UnicodeDecodeError, AttributeError) as problem:
        detail = str(problem).splitlines()[0][:120] if str(problem) else type(problem).__name__
        raise InputError(FIELD, f"{path.name} does not read as a typical-year file: {detail}") from problem
    remarks = check_closure(climate)
    return replace(climate, warnings=climate.warnings + remarks)


def _build(
    values: dict[str, Floats], calendar: tuple[Floats, Floats, Floats], first_line: int, **facts: Any
) -> ClimateHours:
    values, warnings = check_hours(values, calendar, first_line)
    arrays: dict[str, Any] = {**values}
    return ClimateHours(**arrays, month=month_of_hour(), hour_of_day=hour_of_day(), warnings=warnings, **facts)


def _from_tmy2(path: Path) -> ClimateHours:
    header, values, calendar = read_tmy2(path)
    return _build(
        values,
        calendar,
        2,
        name=f"{header.city}, {header.state}, typical year (TMY2)",
        kind="TMY2",
        latitude_deg=header.latitude_deg,
        longitude_deg=header.longitude_deg,
        elevation_m=header.elevation_m,
        utc_offset_h=header.utc_offset_h,
    )


def _from_tmy3(path: Path) -> ClimateHours:
    from pvlib import iotools

    data, meta = iotools.read_tmy3(str(path))
    values = {
        "ghi": data["ghi"],
        "dni": data["dni"],
        "dhi": data["dhi"],
        "temp_air_c": data["temp_air"],
        "wind_speed_m_s": data["wind_speed"],
    }
    arrays = {key: np.array(column, dtype=np.float64) for key, column in values.items()}
    for column in arrays.values():
        column[column <= -9900.0] = np.nan
    calendar = _tmy3_calendar(data["Date (MM/DD/YYYY)"], data["Time (HH:MM)"])
    place = tidy_name(str(meta["Name"]).strip('" '))
    return _build(
        arrays,
        calendar,
        3,
        name=f"{place}, {meta['State']}, typical year (TMY3)",
        kind="TMY3",
        latitude_deg=float(meta["latitude"]),
        longitude_deg=float(meta["longitude"]),
        elevation_m=float(meta["altitude"]),
        utc_offset_h=float(meta["TZ"]),
    )


def _tmy3_calendar(dates: Any, times: Any) -> tuple[Floats, Floats, Floats]:
    """Month, day and hour of each row as written, not as pvlib's index has them: that one moves the last hour of a leap
    year's 28 February into March. Some files call the day's last hour 24:00, others 00:00 of the day after.
    """
    month, day = _floats(dates.str[:2].astype(float)), _floats(dates.str[3:5].astype(float))
    hour = _floats(times.str[:2].astype(float)) - 1.0
    last = np.flatnonzero(hour[1:] < 0.0) + 1
    month[last], day[last], hour[last] = month[last - 1], day[last - 1], 23.0
    return month, day, hour


def _from_epw(path: Path) -> ClimateHours:
    from pvlib import iotools

    data, meta = iotools.read_epw(str(path))
    columns = {
        "ghi": ("ghi", 9999.0),
        "dni": ("dni", 9999.0),
        "dhi": ("dhi", 9999.0),
        "temp_air_c": ("temp_air", 99.9),
        "wind_speed_m_s": ("wind_speed", 999.0),
    }
    arrays: dict[str, Floats] = {}
    for key, (column, missing) in columns.items():
        values = np.array(data[column], dtype=np.float64)
        values[values >= missing] = np.nan
        arrays[key] = values
    design = design_temperatures(path)
    return _build(
        arrays,
        (_floats(data["month"]), _floats(data["day"]), _floats(data["hour"]) - 1.0),
        9,
        name=f"{tidy_name(str(meta['city']))}, {meta['state-prov']}, typical year (EPW)",
        kind="EPW",
        latitude_deg=float(meta["latitude"]),
        longitude_deg=float(meta["longitude"]),
        elevation_m=float(meta["altitude"]),
        utc_offset_h=float(meta["TZ"]),
        record_low_c=design.extreme_mean_min_c if design else None,
        high_2pct_c=design.cooling_2pct_c if design else None,
        design_source=design.source if design else "",
    )


def _floats(values: Any) -> Floats:
    return np.array(values, dtype=np.float64)


def tidy_name(name: str) -> str:
    """A station's name without shouting: "GREENSBORO PIEDMONT TRIAD INT" becomes "Greensboro Piedmont Triad Int"."""
    return re.sub(r"\s+", " ", name).strip().title()
