"""Design temperatures in line 2 of an EPW file.

The EXTREMES group differs between editions of the handbook behind it: up to 2017 a maximum wet bulb stands between
the three wind speeds and the dry-bulb extremes, files of the 2021 edition drop it. Reading both by one position
gives a wrong temperature, so the edition in the line decides, and the values have to make sense.

Source: ASHRAE Handbook of Fundamentals, climatic design information, as carried in EPW files.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from sizing.errors import InputError


@dataclass(frozen=True)
class DesignTemperatures:
    extreme_mean_min_c: float
    """Mean of the years' lowest dry-bulb temperatures."""
    extreme_mean_max_c: float
    cooling_2pct_c: float | None
    source: str


def parse_design_conditions(line: str) -> DesignTemperatures | None:
    """Read the DESIGN CONDITIONS line; None where it carries none; InputError where it can't be right."""
    cells = [cell.strip() for cell in line.rstrip("\r\n").split(",")]
    if cells[0].upper() != "DESIGN CONDITIONS" or "Extremes" not in cells:
        return None
    edition = next((cell for cell in cells[2:4] if cell), "")
    year = re.search(r"(19|20)\d\d", edition)
    extremes = cells[cells.index("Extremes") + 1 :]
    at = 3 if year and int(year.group()) >= 2021 else 4
    low, high = float(extremes[at]), float(extremes[at + 1])
    if not (-80.0 < low < high < 60.0):
        raise InputError(
            "climate.file", f"design conditions give an extreme minimum of {low:g} and maximum of {high:g} C"
        )
    cooling = None
    if "Cooling" in cells:
        start = cells.index("Cooling")
        cooling = float(cells[start + 7])
    return DesignTemperatures(low, high, cooling, f"{edition or 'design conditions'}, in the weather file's header")


def design_temperatures(path: Path) -> DesignTemperatures | None:
    """Read line 2 of an EPW file."""
    with path.open(encoding="utf-8", errors="replace") as lines:
        next(lines)
        return parse_design_conditions(next(lines))
