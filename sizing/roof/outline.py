"""The outline of a roof plane on its slope: corners, edges and what lies along them.

Points are (u, v) in metres: along the eave from its left end as seen facing the roof, and up the slope. A plane without
an outline of its own is the rectangle of its width and slope length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sizing.study.request import RoofEdge, RoofEdgeKind, RoofPlane

Point = tuple[float, float]
EPS = 1e-9


@dataclass(frozen=True)
class Edge:
    """One edge, the plane on its left."""

    start: Point
    end: Point
    kind: RoofEdgeKind
    modules_beyond: bool

    @property
    def length_m(self) -> float:
        return float(((self.end[0] - self.start[0]) ** 2 + (self.end[1] - self.start[1]) ** 2) ** 0.5)

    def strip(self, depth_m: float, past_ends_m: float = 0.0) -> tuple[Point, ...]:
        """The band of a depth along the edge on the plane's side, four corners, with its ends square."""
        along_u, along_v = (
            (self.end[0] - self.start[0]) / self.length_m,
            (self.end[1] - self.start[1]) / self.length_m,
        )
        first = (self.start[0] - along_u * past_ends_m, self.start[1] - along_v * past_ends_m)
        last = (self.end[0] + along_u * past_ends_m, self.end[1] + along_v * past_ends_m)
        inward = (-along_v * depth_m, along_u * depth_m)
        return (
            first,
            last,
            (last[0] + inward[0], last[1] + inward[1]),
            (first[0] + inward[0], first[1] + inward[1]),
        )


def signed_area_m2(corners: Sequence[Point]) -> float:
    """Area by the corners (Gauss's formula), positive where they run against the clock."""
    following = [*corners[1:], corners[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, following, strict=True)) / 2.0


def edges_of(plane: RoofPlane) -> tuple[Edge, ...]:
    """The edges against the clock, whichever way the outline was measured."""
    if not plane.outline:
        top: RoofEdgeKind = "ridge" if plane.ridge_at_top else "wall"
        width, height = plane.width_m, plane.slope_length_m
        kinds: tuple[RoofEdgeKind, ...] = ("eave", "rake", top, "rake")
        corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
        return tuple(
            Edge(start, end, kind, False)
            for start, end, kind in zip(corners, [*corners[1:], corners[0]], kinds, strict=True)
        )
    ring = [
        Edge((edge.u_m, edge.v_m), (following.u_m, following.v_m), edge.kind, edge.modules_beyond)
        for edge, following in zip(plane.outline, [*plane.outline[1:], plane.outline[0]], strict=True)
    ]
    if signed_area_m2([edge.start for edge in ring]) < 0:
        ring = [Edge(edge.end, edge.start, edge.kind, edge.modules_beyond) for edge in reversed(ring)]
    return tuple(ring)


def corners_of(plane: RoofPlane) -> tuple[Point, ...]:
    return tuple(edge.start for edge in edges_of(plane))


def slope_area_m2(plane: RoofPlane) -> float:
    """Of the plane, measured on its slope."""
    if not plane.outline:
        return plane.width_m * plane.slope_length_m
    return abs(signed_area_m2([(edge.u_m, edge.v_m) for edge in plane.outline]))


def holds(corners: Sequence[Point], u_m: float, v_m: float) -> bool:
    """Whether a point lies inside; on the outline either answer may come."""
    inside = False
    for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
        if (a[1] > v_m) != (b[1] > v_m) and u_m < a[0] + (v_m - a[1]) / (b[1] - a[1]) * (b[0] - a[0]):
            inside = not inside
    return inside


def crosses_itself(corners: Sequence[Point]) -> bool:
    """Whether two edges that aren't neighbours meet."""
    n = len(corners)
    sides = [(corners[i], corners[(i + 1) % n]) for i in range(n)]
    return any(_meet(*sides[i], *sides[j]) for i in range(n) for j in range(i + 2, n) if not (i == 0 and j == n - 1))


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) <= EPS and side(c, d, a) * side(c, d, b) <= EPS


def span(corners: Sequence[Point], low_m: float, high_m: float) -> tuple[float, float] | None:
    """How far along u a convex shape (or a single side of two points) reaches between two heights; None: not at all."""
    reach: list[float] = []
    for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
        below, above = (a, b) if a[1] <= b[1] else (b, a)
        if above[1] <= low_m + EPS or below[1] >= high_m - EPS:
            continue
        rise = above[1] - below[1]
        for height in (max(below[1], low_m), min(above[1], high_m)):
            share = (height - below[1]) / rise if rise > EPS else 0.0
            reach.append(below[0] + share * (above[0] - below[0]))
    return (min(reach), max(reach)) if reach else None


def free_stretches(
    corners: Sequence[Point], taken: Sequence[Sequence[Point]], low_m: float, high_m: float
) -> list[tuple[float, float]]:
    """Stretches of u on which the whole band between two heights lies inside the outline and off every taken shape.

    ``taken`` are convex. Where an edge of the outline passes through the band, what it sweeps over is not free; between
    two such sweeps the band is inside or outside as a whole.
    """
    middle = (low_m + high_m) / 2.0
    sides = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    blocked = sorted(reach for shape in (*sides, *taken) if (reach := span(shape, low_m, high_m)) is not None)
    out: list[tuple[float, float]] = []
    at = float("-inf")
    for start, end in blocked:
        if start > at + EPS and at > float("-inf") and holds(corners, (at + start) / 2.0, middle):
            out.append((at, start))
        at = max(at, end)
    return out


def within(corners: Sequence[Point], convex: Sequence[Point]) -> tuple[Point, ...]:
    """The part of an outline that a convex shape (against the clock) covers, by Sutherland and Hodgman."""
    left = list(corners)
    for a, b in zip(convex, [*convex[1:], convex[0]], strict=True):

        def inside(p: Point, a: Point = a, b: Point = b) -> float:
            return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])

        kept: list[Point] = []
        for p, q in zip(left, [*left[1:], left[0]], strict=True) if left else ():
            here, there = inside(p), inside(q)
            if here >= 0:
                kept.append(p)
            if here * there < 0:
                share = here / (here - there)
                kept.append((p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])))
        left = kept
    return tuple(left)


def sloping_ends(
    width_m: float,
    slope_length_m: float,
    left: RoofEdgeKind = "rake",
    left_lean_m: float = 0.0,
    right: RoofEdgeKind = "rake",
    right_lean_m: float = 0.0,
    *,
    left_beyond: bool = False,
    right_beyond: bool = False,
) -> tuple[RoofEdge, ...]:
    """The outline of a plane whose ends lean inwards from the bottom up (hips) or from the top down (valleys).

    ``lean`` is how far along the eave an end leans over the whole slope, in metres. ``width_m`` is the widest part: the
    eave between hips, the ridge between valleys. Hips that meet at a point leave no ridge.
    """
    low_left = left_lean_m if left == "valley" else 0.0
    high_left = 0.0 if left == "valley" else left_lean_m
    low_right = width_m - (right_lean_m if right == "valley" else 0.0)
    high_right = width_m - (0.0 if right == "valley" else right_lean_m)
    ring = [
        RoofEdge(low_left, 0.0, "eave"),
        RoofEdge(low_right, 0.0, right, right_beyond),
        RoofEdge(high_right, slope_length_m, "ridge"),
        RoofEdge(high_left, slope_length_m, left, left_beyond),
    ]
    if abs(high_right - high_left) < 1e-6:
        del ring[2]
    if abs(low_right - low_left) < 1e-6:
        del ring[0]
    return tuple(ring)
