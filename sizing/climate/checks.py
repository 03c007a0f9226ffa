"""What a year of weather has to satisfy before anything is computed from it."""

from __future__ import annotations

import numpy as np

from sizing.climate.hours import DAYS_IN_MONTH, HOURS_PER_YEAR, ClimateHours, Floats, hour_of_day, month_of_hour
from sizing.errors import InputError
from sizing.sun.position import sun_year

FIELD = "climate.file"
PLAIN = {
    "ghi": "global horizontal irradiance",
    "dni": "direct normal irradiance",
    "dhi": "diffuse horizontal irradiance",
    "temp_air_c": "air temperature",
    "wind_speed_m_s": "wind speed",
}
RANGES = {
    "ghi": (0.0, 1600.0, "W/m2"),
    "dni": (0.0, 1400.0, "W/m2"),
    "dhi": (0.0, 1000.0, "W/m2"),
    "temp_air_c": (-75.0, 60.0, "C"),
    "wind_speed_m_s": (0.0, 80.0, "m/s"),
}


def check_hours(
    values: dict[str, Floats], calendar: tuple[Floats, Floats, Floats], first_line: int
) -> tuple[dict[str, Floats], tuple[str, ...]]:
    """Check a file's rows and return them as 8760 hours, with remarks.

    ``calendar`` is month, day and hour (0 to 23, at the beginning of the hour) per row; ``first_line`` is the line of
    the file that holds row 0, for the messages. A 29 February is dropped. Raises InputError naming the line.
    """
    month, day, _ = calendar
    warnings: list[str] = []
    leap = (month == 2) & (day == 29)
    lines = np.arange(month.size) + first_line
    if leap.any():
        keep = ~leap
        values = {key: column[keep] for key, column in values.items()}
        calendar = (calendar[0][keep], calendar[1][keep], calendar[2][keep])
        lines = lines[keep]
        warnings.append("The weather file has a 29 February; it is left out, a study's year has 365 days.")
    rows = calendar[0].size
    if rows != HOURS_PER_YEAR:
        raise InputError(FIELD, f"holds {rows} hourly rows where a year has {HOURS_PER_YEAR}")
    _check_order(calendar, lines)
    for key, (low, high, unit) in RANGES.items():
        column = values[key]
        missing = np.flatnonzero(~np.isfinite(column))
        if missing.size:
            where = ", ".join(str(lines[i]) for i in missing[:5])
            more = f" and {missing.size - 5} more" if missing.size > 5 else ""
            raise InputError(FIELD, f"{PLAIN[key]} is missing in line {where}{more}")
        wrong = np.flatnonzero((column < low) | (column > high))
        if wrong.size:
            at = int(wrong[0])
            raise InputError(
                FIELD, f"line {lines[at]}: {PLAIN[key]} of {column[at]:g} {unit} is outside {low:g} to {high:g}"
            )
    total = values["ghi"].sum() / 1000.0
    if not 400.0 <= total <= 2900.0:
        raise InputError(
            FIELD, f"global irradiance adds up to {total:.1f} kWh/m2 a year; no place on Earth has that: wrong unit?"
        )
    return values, tuple(warnings)


def _check_order(calendar: tuple[Floats, Floats, Floats], lines: np.ndarray) -> None:
    days = np.concatenate([np.arange(1, n + 1) for n in DAYS_IN_MONTH])
    wanted = (month_of_hour(), np.repeat(days, 24), hour_of_day())
    off = np.zeros(HOURS_PER_YEAR, dtype=bool)
    for have, want in zip(calendar, wanted, strict=True):
        off |= have != want
    if off.any():
        at = int(np.flatnonzero(off)[0])
        have_text = f"month {calendar[0][at]:.0f}, day {calendar[1][at]:.0f}, hour beginning {calendar[2][at]:.0f}"
        want_text = f"month {wanted[0][at]}, day {wanted[1][at]}, hour beginning {wanted[2][at]}"
        raise InputError(FIELD, f"line {lines[at]} is {have_text}; the order of hours asks for {want_text}")


def closure_w_per_m2(climate: ClimateHours, at_minute: float = 30.0) -> Floats:
    """DNI cos(zenith) + DHI - GHI of the hours with sun, the sun taken ``at_minute`` into each hour, W/m2."""
    sun = sun_year(climate.latitude_deg, climate.longitude_deg, climate.elevation_m, climate.utc_offset_h, at_minute)
    error = climate.dni * np.maximum(sun.cos_zenith, 0.0) + climate.dhi - climate.ghi
    return error[(climate.ghi > 0) & (sun.elevation_deg > 5.0)]


def check_closure(climate: ClimateHours) -> tuple[str, ...]:
    """Whether the three irradiances fit each other with the sun at mid-hour; otherwise say so.

    A file whose labels mark the beginning of the hour, or whose clock is off, shows up here as a better fit with the
    sun at another minute.
    """
    middle = float(np.mean(np.abs(closure_w_per_m2(climate))))
    early = float(np.mean(np.abs(closure_w_per_m2(climate, -30.0))))
    late = float(np.mean(np.abs(closure_w_per_m2(climate, 90.0))))
    if min(early, late) < middle:
        which = "an hour earlier" if early < late else "an hour later"
        return (
            f"Beam, diffuse and global irradiance of {climate.name} fit each other better with the sun {which}: "
            "the file's hour labels or its time zone look wrong.",
        )
    if middle > 60.0:
        return (
            f"Beam, diffuse and global irradiance of {climate.name} miss each other by {middle:.0f} W/m2 on average.",
        )
    return ()
