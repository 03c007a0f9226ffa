"""Rows of equal rectangles in a rectangle with holes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

EPS = 1e-6


@dataclass(frozen=True)
class Rect:
    """On the slope, metres: ``u`` along the eave from its left end as seen facing the roof, ``v`` up from the eave."""

    u_m: float
    v_m: float
    width_m: float
    height_m: float

    @property
    def right_m(self) -> float:
        return self.u_m + self.width_m

    @property
    def top_m(self) -> float:
        return self.v_m + self.height_m

    def overlaps(self, other: Rect) -> bool:
        return (
            self.u_m < other.right_m - EPS
            and other.u_m < self.right_m - EPS
            and self.v_m < other.top_m - EPS
            and other.v_m < self.top_m - EPS
        )


def row(area: Rect, holes: Sequence[Rect], v_m: float, width_m: float, height_m: float, gap_m: float) -> list[Rect]:
    """As many rectangles as fit side by side with their lower edge at ``v_m``, each free stretch filled from its left.

    Rectangles of one free stretch stand ``gap_m`` apart.
    """
    blocked = sorted(
        (hole.u_m, hole.right_m) for hole in holes if hole.overlaps(Rect(area.u_m, v_m, area.width_m, height_m))
    )
    out: list[Rect] = []
    left = area.u_m
    for start, end in [*blocked, (area.right_m, area.right_m)]:
        fit = int((start - left + gap_m + EPS) / (width_m + gap_m)) if start > left else 0
        out += [Rect(left + i * (width_m + gap_m), v_m, width_m, height_m) for i in range(fit)]
        left = max(left, end)
    return out


def pack(area: Rect, holes: Sequence[Rect], width_m: float, height_m: float, gap_m: float) -> tuple[Rect, ...]:
    """Most rectangles in rows; rows may start at the bottom, above any hole, or right on the row below.

    Not proven largest of all layouts (rows only, one orientation), the way racking is built.
    """
    last_v = area.top_m - height_m
    seeds = {area.v_m, *(hole.top_m for hole in holes if hole.top_m > area.v_m)}
    levels = sorted(
        {
            round(seed + step * (height_m + gap_m), 9)
            for seed in seeds
            for step in range(int(area.height_m / height_m) + 1)
            if seed + step * (height_m + gap_m) <= last_v + EPS
        }
    )
    rows = [row(area, holes, v, width_m, height_m, gap_m) for v in levels]

    @cache
    def best(i: int) -> tuple[int, tuple[int, ...]]:
        if i >= len(levels):
            return 0, ()
        skip = best(i + 1)
        above = next((j for j in range(i, len(levels)) if levels[j] >= levels[i] + height_m + gap_m - EPS), len(levels))
        count, chosen = best(above)
        taken = (count + len(rows[i]), (i, *chosen))
        return taken if taken[0] >= skip[0] and rows[i] else skip

    return tuple(rect for i in best(0)[1] for rect in rows[i])
