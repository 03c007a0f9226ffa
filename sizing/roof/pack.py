"""Rows of equal rectangles on a roof plane with holes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

from sizing.roof.outline import Point, free_stretches

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

    @property
    def corners(self) -> tuple[Point, ...]:
        """Against the clock from the lower left."""
        return (
            (self.u_m, self.v_m),
            (self.right_m, self.v_m),
            (self.right_m, self.top_m),
            (self.u_m, self.top_m),
        )

    def overlaps(self, other: Rect) -> bool:
        return (
            self.u_m < other.right_m - EPS
            and other.u_m < self.right_m - EPS
            and self.v_m < other.top_m - EPS
            and other.v_m < self.top_m - EPS
        )


def stretches(area: Rect, holes: Sequence[Rect], low_m: float, high_m: float) -> list[tuple[float, float]]:
    """Free stretches of a band of a rectangle between two heights."""
    band = Rect(area.u_m, low_m, area.width_m, high_m - low_m)
    out: list[tuple[float, float]] = []
    left = area.u_m
    for start, end in sorted((hole.u_m, hole.right_m) for hole in holes if hole.overlaps(band)):
        if start > left:
            out.append((left, start))
        left = max(left, end)
    return [*out, (left, area.right_m)] if area.right_m > left else out


def row(free: Sequence[tuple[float, float]], v_m: float, width_m: float, height_m: float, gap_m: float) -> list[Rect]:
    """As many rectangles as fit side by side with their lower edge at ``v_m``, each free stretch filled from its left.

    Rectangles of one free stretch stand ``gap_m`` apart.
    """
    return [
        Rect(left + i * (width_m + gap_m), v_m, width_m, height_m)
        for left, right in free
        for i in range(int((right - left + gap_m + EPS) / (width_m + gap_m)))
    ]


def pack(area: Rect, holes: Sequence[Rect], width_m: float, height_m: float, gap_m: float) -> tuple[Rect, ...]:
    """Most rectangles in rows of a rectangle with holes; rows may start at the bottom, above any hole, or right on the
    row below.

    Not proven largest of all layouts (rows only, one orientation), the way racking is built.
    """
    starts = {area.v_m, *(hole.top_m for hole in holes if hole.top_m > area.v_m)}

    def free(v_m: float) -> list[tuple[float, float]]:
        return stretches(area, holes, v_m, v_m + height_m)

    return _best_rows(area, starts, free, width_m, height_m, gap_m)


def pack_outline(
    corners: Sequence[Point], taken: Sequence[Sequence[Point]], width_m: float, height_m: float, gap_m: float
) -> tuple[Rect, ...]:
    """The same within an outline of sloping edges, off convex shapes.

    Rows may also hang down from the outline's top and from the lower end of what is taken there: between valleys a
    plane is widest at its ridge.
    """
    across, up = [u for u, _ in corners], [v for _, v in corners]
    area = Rect(min(across), min(up), max(across) - min(across), max(up) - min(up))
    starts = {v for shape in (corners, *taken) for _, v in shape if v > area.v_m} | {area.v_m}
    hung = {v for shape in (corners, *taken) for _, v in shape if v <= area.top_m}
    step = height_m + gap_m
    starts |= {v - height_m - i * step for v in hung for i in range(int(area.height_m / height_m) + 1)}

    def free(v_m: float) -> list[tuple[float, float]]:
        return free_stretches(corners, taken, v_m, v_m + height_m)

    return _best_rows(area, {v for v in starts if v >= area.v_m - EPS}, free, width_m, height_m, gap_m)


def _best_rows(
    area: Rect,
    starts: set[float],
    free: Callable[[float], list[tuple[float, float]]],
    width_m: float,
    height_m: float,
    gap_m: float,
) -> tuple[Rect, ...]:
    last_v = area.top_m - height_m
    levels = sorted(
        {
            round(start + step * (height_m + gap_m), 9)
            for start in starts
            for step in range(int(area.height_m / height_m) + 1)
            if start + step * (height_m + gap_m) <= last_v + EPS
        }
    )
    rows = [row(free(v), v, width_m, height_m, gap_m) for v in levels]

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
