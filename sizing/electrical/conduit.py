"""How many conductors a metal tubing may hold."""

from __future__ import annotations

import math
from collections.abc import Mapping

from sizing.electrical.tables import column

FILL = {1: 0.53, 2: 0.31}
"""Share of the tubing by number of conductors; three and more 40 %. Source: NEC Chapter 9 Table 1."""
NIPPLE_FILL = 0.60
"""Up to 24 in, note 4."""


def fill_fraction(conductors: int, *, nipple: bool = False) -> float:
    """Share of the inside that ``conductors`` may take, equipment grounding conductors counted (note 3)."""
    return NIPPLE_FILL if nipple else FILL.get(conductors, 0.40)


def conductors_area_in2(counts: Mapping[str, int]) -> float:
    """Area of THWN-2 conductors by size, in2."""
    areas = column("conductor_area", "size", "area_in2")
    return sum(areas[size] * count for size, count in counts.items())


def smallest_emt(counts: Mapping[str, int], *, nipple: bool = False, smallest: str = "1/2") -> str:
    """Trade size of the smallest tubing that holds these conductors (size to count). Raises ValueError past 3 in."""
    area, allowed = conductors_area_in2(counts), fill_fraction(sum(counts.values()), nipple=nipple)
    tubes = column("emt", "trade_size", "area_in2")
    names = list(tubes)
    for name in names[names.index(smallest) :]:
        if area <= tubes[name] * allowed + 1e-9:
            return name
    raise ValueError("these conductors need more than one 3 in tubing")


def most_conductors(size: str, trade_size: str) -> int:
    """How many equal conductors a tubing holds (three or more). Note 7: 0.8 and up of one more counts as one."""
    room = column("emt", "trade_size", "area_in2")[trade_size] * 0.40
    return math.floor(room / column("conductor_area", "size", "area_in2")[size] + 0.2 + 1e-9)
