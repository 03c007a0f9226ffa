"""Outlines seen from above: their middles, and whether two lie on top of one another."""

from __future__ import annotations

import math
from collections.abc import Sequence

Point = tuple[float, float]


def middle(ring: Sequence[Point]) -> Point:
    """Of the area within; of the corners where there is none."""
    twice = x = y = 0.0
    for (x0, y0), (x1, y1) in zip(ring, [*ring[1:], ring[0]], strict=True):
        cross = x0 * y1 - x1 * y0
        twice += cross
        x += (x0 + x1) * cross
        y += (y0 + y1) * cross
    if abs(twice) < 1e-9:
        return sum(p[0] for p in ring) / len(ring), sum(p[1] for p in ring) / len(ring)
    return x / (3 * twice), y / (3 * twice)


def depth_of_overlap(one: Sequence[Point], other: Sequence[Point]) -> float:
    """How far two outlines reach into one another: the shortest way to push them apart; 0 where they only touch.

    By the separating axes of outlines without dents; one with a dent counts as if the dent were filled.
    """
    depth = math.inf
    for ring in (one, other):
        for (x0, y0), (x1, y1) in zip(ring, [*ring[1:], ring[0]], strict=True):
            long = math.hypot(x1 - x0, y1 - y0)
            if long < 1e-9:
                continue
            nx, ny = (y1 - y0) / long, (x0 - x1) / long
            (a, b), (c, d) = (_span(each, nx, ny) for each in (one, other))
            depth = min(depth, b - c, d - a)
            if depth <= 0:
                return 0.0
    return depth


def _span(ring: Sequence[Point], nx: float, ny: float) -> Point:
    along = [x * nx + y * ny for x, y in ring]
    return min(along), max(along)
