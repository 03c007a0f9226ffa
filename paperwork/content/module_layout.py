"""Where a design's modules lie on a roof plane: rows of one orientation, in the middle of the plane."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

GAP_M = 0.02
"""Between modules, for clamps; common practice, no source."""


@dataclass(frozen=True)
class Spot:
    """One module on its plane: from the left end of the eave (m) and up the slope from it (m)."""

    along_m: float
    up_m: float
    wide_m: float
    tall_m: float


@dataclass(frozen=True)
class Layout:
    rows: tuple[int, ...]
    """Modules per row, from the lowest row up."""
    spots: tuple[Spot, ...]
    upright: bool
    """Long side up the slope."""
    fits: bool
    """Within the measured plane, edge to edge; pathways and setbacks come on top."""
    row_wide_m: tuple[float, ...]


def layout(plane: Mapping[str, Any], module: Mapping[str, Any]) -> Layout:
    """``plane`` and ``module`` as in a study's request. Upright rows where they fit, else lying ones."""
    upright = _rows(plane, module["width_m"], module["length_m"], True)
    if upright.fits:
        return upright
    lying = _rows(plane, module["length_m"], module["width_m"], False)
    return lying if lying.fits else upright


def _rows(plane: Mapping[str, Any], wide: float, tall: float, upright: bool) -> Layout:
    count = plane["modules"]
    most = max(1, int((plane["width_m"] + GAP_M) / (wide + GAP_M) + 1e-9))
    row_count = math.ceil(count / most) if count else 0
    # Rows of nearly equal length: a last row of one module looks like a slip and costs a rail of its own.
    rows = tuple(count // row_count + (1 if at < count % row_count else 0) for at in range(row_count))
    height = row_count * (tall + GAP_M) - GAP_M
    base = (plane["slope_length_m"] - height) / 2
    spots = []
    widths = []
    for at, number in enumerate(rows):
        row_wide = number * (wide + GAP_M) - GAP_M
        widths.append(row_wide)
        left = (plane["width_m"] - row_wide) / 2
        spots += [Spot(left + n * (wide + GAP_M), base + at * (tall + GAP_M), wide, tall) for n in range(number)]
    fits = wide <= plane["width_m"] + 1e-9 and height <= plane["slope_length_m"] + 1e-9
    return Layout(rows, tuple(spots), upright, fits, tuple(widths))
