"""Spread a fixed amount of energy over hours by weight, never above a limit in any hour."""

from __future__ import annotations

import numpy as np

from sizing.climate.hours import Floats


def spread(total_wh: float, weights: Floats, limit_w: float) -> Floats:
    """Hourly mean watts whose sum is ``total_wh``, proportional to ``weights`` where the limit allows.

    Hours that would pass ``limit_w`` are held at it and what they could not take goes to the others, again by weight.
    When every hour with a weight is full, the rest goes evenly over the remaining hours.

    ``weights``: non-negative, shape (n,). Returns shape (n,). Raises ValueError when n hours at the limit can't hold
    the energy.
    """
    hours = weights.shape[0]
    if total_wh > limit_w * hours * (1 + 1e-9):
        raise ValueError("more energy than the hours can take at this power")
    power_w = np.zeros(hours)
    left_wh = total_wh
    for share in (weights, np.ones(hours)):
        open_hours = (share > 0) & (power_w == 0)
        while left_wh > 0 and open_hours.any():
            scale = left_wh / share[open_hours].sum()
            full = open_hours & (share * scale >= limit_w)
            if not full.any():
                power_w[open_hours] = share[open_hours] * scale
                return power_w
            power_w[full] = limit_w
            left_wh -= limit_w * int(full.sum())
            open_hours &= ~full
        if left_wh <= 1e-9 * total_wh:
            break
    return power_w
