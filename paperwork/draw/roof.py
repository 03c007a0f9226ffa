"""The roof from above, to scale: planes with their modules, what stays free, what stands around, north, scale bar."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from paperwork.draw import outlines, svg
from paperwork.words import short

FEET_PER_M = 1 / 0.3048
SCALES = (48, 60, 72, 96, 120, 144, 192, 240, 300, 360, 480, 600, 960)
"""Drawn to reality; feet to the inch are twelfths of it: 1 : 96 is 1/8 in to the foot."""
POINTS_PER_M = 72 / 0.0254
MARGIN = 30.0
ATTACHMENT_R = 1.5
"""Points: a mark, not to scale."""
FAR_M = 2.0
"""What stands farther from the roof than this is listed, not drawn: it would shrink the roof."""
Point = tuple[float, float]


@dataclass(frozen=True)
class Spot:
    """A rectangle on its plane: from the left end of the eave (m) and up the slope from it (m)."""

    along_m: float
    up_m: float
    wide_m: float
    tall_m: float
    shape: tuple[Point, ...] = ()
    """Corners (along, up) of what isn't a rectangle, within it."""


@dataclass(frozen=True)
class PlanePlan:
    name: str
    plane: Mapping[str, Any]
    spots: Sequence[Spot]
    clear: Sequence[tuple[str, Spot]] = ()
    attachments: Sequence[Point] = ()
    """(along, up) of each."""


def is_bare(plan: PlanePlan) -> bool:
    return not plan.spots and not plan.plane.get("modules", 1)


def on_ground(plane: Mapping[str, Any], along_m: float, up_m: float) -> Point:
    """East and north of the house's middle (m) of a spot on the plane, seen from above.

    ``along_m`` from the eave's left end as seen facing the roof, ``up_m`` up the slope.
    """
    facing = math.radians(plane["azimuth_deg"])
    down = (math.sin(facing), math.cos(facing))
    # Facing the roof one looks up the slope, against ``down``; right of that view is ``down`` turned a quarter left.
    right = (-down[1], down[0])
    flat = math.cos(math.radians(plane["tilt_deg"]))
    a = along_m - plane["width_m"] / 2
    b = (plane["slope_length_m"] / 2 - up_m) * flat
    return plane["x_m"] + a * right[0] + b * down[0], plane["y_m"] + a * right[1] + b * down[1]


def corners(plane: Mapping[str, Any], spot: Spot) -> list[Point]:
    u, v = spot.along_m, spot.up_m
    rectangle = ((u, v), (u + spot.wide_m, v), (u + spot.wide_m, v + spot.tall_m), (u, v + spot.tall_m))
    return [on_ground(plane, x, y) for x, y in spot.shape or rectangle]


def whole(plane: Mapping[str, Any]) -> Spot:
    ring = tuple((corner["u_m"], corner["v_m"]) for corner in plane.get("outline", ()))
    return Spot(0.0, 0.0, plane["width_m"], plane["slope_length_m"], ring)


def near(obstruction: Mapping[str, Any], points: Sequence[Point]) -> bool:
    x, y = middle_of(obstruction)
    reach = FAR_M
    west, east = min(p[0] for p in points), max(p[0] for p in points)
    south, north = min(p[1] for p in points), max(p[1] for p in points)
    return west - reach <= x <= east + reach and south - reach <= y <= north + reach


def footprint(obstruction: Mapping[str, Any]) -> list[Point]:
    """Corners of a building or chimney on the ground, of a tree those of the square around its crown.

    Width lies across the line of sight from the house's middle, depth along it, as the study's shade has it.
    """
    x, y = middle_of(obstruction)
    half = obstruction["width_m"] / 2
    if obstruction["kind"] == "tree":
        return [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
    deep = (obstruction.get("depth_m") or obstruction["width_m"]) / 2
    bearing = math.radians(obstruction["bearing_deg"])
    away, across = (math.sin(bearing), math.cos(bearing)), (math.cos(bearing), -math.sin(bearing))
    return [
        (x + a * half * across[0] + d * deep * away[0], y + a * half * across[1] + d * deep * away[1])
        for a, d in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]


def middle_of(obstruction: Mapping[str, Any]) -> Point:
    bearing = math.radians(obstruction["bearing_deg"])
    return obstruction["distance_m"] * math.sin(bearing), obstruction["distance_m"] * math.cos(bearing)


@dataclass(frozen=True)
class RoofDrawing:
    drawing: svg.Drawing
    scale: int
    """The drawing is 1 : scale."""


def roof_drawing(
    plans: Sequence[PlanePlan], obstructions: Sequence[Mapping[str, Any]], width: float, height: float
) -> RoofDrawing:
    """Within ``width`` by ``height`` points at the largest usual scale that takes every plane."""
    points = [point for plan in plans for point in corners(plan.plane, whole(plan.plane))]
    drawn = [item for item in obstructions if near(item, points)]
    for item in drawn:
        points += footprint(item)
    west, east = min(p[0] for p in points), max(p[0] for p in points)
    south, north = min(p[1] for p in points), max(p[1] for p in points)
    room_x, room_y = width - 2 * MARGIN, height - 2 * MARGIN - 20
    scale = next(
        (
            s
            for s in SCALES
            if (east - west) * POINTS_PER_M / s <= room_x and (north - south) * POINTS_PER_M / s <= room_y
        ),
        SCALES[-1],
    )
    k = POINTS_PER_M / scale
    middle = ((west + east) / 2, (south + north) / 2)

    def at(point: Point) -> Point:
        return width / 2 + (point[0] - middle[0]) * k, (height - 20) / 2 - (point[1] - middle[1]) * k

    names = ", ".join(
        f"{plan.name} with {len(plan.spots)} modules"
        if plan.plane.get("modules") or plan.spots
        else f"{plan.name}, bare"
        for plan in plans
    )
    d = svg.Drawing(width, height, f"Roof plan from above, north at the top, 1 to {scale}: {names}.")
    named: list[Point] = []
    for plan in plans:
        _plane(d, plan, at, named, alone=len(plans) == 1)
    for item in drawn:
        _obstruction(d, item, at, k)
    _north(d, width - 24, 30)
    _scale_bar(d, k, scale, height)
    return RoofDrawing(d, scale)


def _plane(d: svg.Drawing, plan: PlanePlan, at: Any, named: list[Point], *, alone: bool) -> None:
    """``named``: middles of hips and valleys whose word stands already. ``alone``: nothing lies beyond the ridge."""
    plane = plan.plane
    outline = [at(point) for point in corners(plane, whole(plane))]
    for _, zone in plan.clear:
        d.polyline(
            [at(p) for p in corners(plane, zone)],
            close=True,
            fill="#e9e6dd",
            stroke=svg.SOFT,
            stroke_width=0.5,
            stroke_dasharray="3 2",
        )
    for spot in plan.spots:
        d.polyline([at(p) for p in corners(plane, spot)], close=True, fill=svg.PAPER, stroke_width=0.7)
    for along, up in plan.attachments:
        d.circle(at(on_ground(plane, along, up)), ATTACHMENT_R, fill=svg.INK, stroke="none")
    _edges(d, plane, outline, named)
    box = [at(point) for point in corners(plane, Spot(0.0, 0.0, plane["width_m"], plane["slope_length_m"]))]
    # Downhill arrow in the middle of the eave, outside the plane.
    facing = math.radians(plane["azimuth_deg"])
    x, y = (box[0][0] + box[1][0]) / 2, (box[0][1] + box[1][1]) / 2
    dx, dy = math.sin(facing), -math.cos(facing)
    tip = (x + dx * 13, y + dy * 13)
    d.line((x + dx * 2, y + dy * 2), tip, stroke_width=1.1)
    d.polyline(
        [
            (tip[0] - dx * 5 - dy * 3, tip[1] - dy * 5 + dx * 3),
            tip,
            (tip[0] - dx * 5 + dy * 3, tip[1] - dy * 5 - dx * 3),
        ],
        stroke_width=1.1,
    )
    if is_bare(plan):
        _name_within(d, plan, outline)
        return
    if plane.get("outline") or not alone:
        # Beyond a hip a valley or a ridge lies the next plane: the name stands below the eave, past the arrow.
        reach = 20 if abs(dx) < 0.5 else 17
        x, y = x + dx * reach, y + dy * reach
        anchor = "start" if dx > 0.5 else "end" if dx < -0.5 else "middle"
        d.text(x, y + (3 if anchor != "middle" else 7 if dy > 0 else 0), plan.name, size=9, weight=600, anchor=anchor)
        return
    # The name stands beyond the ridge, clear of modules and arrow.
    rx, ry = (box[2][0] + box[3][0]) / 2 - dx * 7, (box[2][1] + box[3][1]) / 2 - dy * 7
    anchor = "end" if dx > 0.5 else "start" if dx < -0.5 else "middle"
    d.text(rx, ry + (3 if anchor != "middle" else 7 if dy < 0 else 0), plan.name, size=9, weight=600, anchor=anchor)


def _name_within(d: svg.Drawing, plan: PlanePlan, outline: Sequence[Point]) -> None:
    """Name and pitch of a plane without modules, in its middle: a reviewer asks for the way up and for the ridge."""
    x, y = outlines.middle(outline)
    wide = max(p[0] for p in outline) - min(p[0] for p in outline)
    words = svg.wrapped(plan.name, 8.5, max(wide * 0.6, 40), 600)
    top = y - (len(words) * 10 + 9) / 2 + 8
    for n, line in enumerate(words):
        d.text(x, top + n * 10, line, size=8.5, weight=600, anchor="middle", halo=True)
    d.text(x, top + len(words) * 10, f"{short(plan.plane['tilt_deg'])}°, bare", size=7.5, anchor="middle", halo=True)


EDGE_LINES: dict[str, dict[str, Any]] = {
    "eave": {"stroke_width": 2.6},
    "hip": {"stroke_width": 1.3, "stroke_dasharray": "9 2 2 2"},
    "valley": {"stroke_width": 1.3, "stroke_dasharray": "5 3"},
}
"""Named on the drawing too: hips and valleys by their word beside the line."""
SAME_LINE, SAME_EDGE = 2.0, 12.0
"""Points between the middles of a hip or valley as its two planes have it: drawn once, named once."""


def _edges(d: svg.Drawing, plane: Mapping[str, Any], outline: Sequence[Point], named: list[Point]) -> None:
    """Over the zones that stay free, which reach to the edges."""
    top = "ridge" if plane.get("ridge_at_top", True) else "wall"
    kinds = [edge["kind"] for edge in plane.get("outline", ())] or ["eave", "rake", top, "rake"]
    mx, my = (sum(p[axis] for p in outline) / len(outline) for axis in (0, 1))
    for start, end, kind in zip(outline, [*outline[1:], outline[0]], kinds, strict=True):
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        cut = kind in ("hip", "valley")
        # Twice the same dashes, begun from either end, would make a solid line.
        if not (cut and any(math.dist((x, y), other) < SAME_LINE for other in named)):
            d.line(start, end, **EDGE_LINES.get(kind, {"stroke_width": 1.3}))
        if cut:
            if any(math.dist((x, y), other) < SAME_EDGE for other in named):
                continue
            named.append((x, y))
            # Square to the edge, away from the middle of the plane.
            nx, ny = end[1] - start[1], start[0] - end[0]
            long = math.hypot(nx, ny) or 1.0
            side = 1 if (x - mx) * nx + (y - my) * ny >= 0 else -1
            d.text(x + side * nx / long * 9, y + side * ny / long * 9 + 2.5, kind, size=7, anchor="middle", halo=True)


def _obstruction(d: svg.Drawing, item: Mapping[str, Any], at: Any, k: float) -> None:
    x, y = at(middle_of(item))
    r = max(item["width_m"] / 2 * k, 2.5)
    low = y + r
    if item["kind"] == "tree":
        d.circle((x, y), r, stroke_dasharray="4 2")
        d.circle((x, y), 1.6, fill=svg.INK)
    else:
        ring = [at(corner) for corner in footprint(item)]
        d.polyline(ring, close=True, fill=svg.PAPER)
        d.line(ring[0], ring[2], stroke_width=0.6)
        d.line(ring[1], ring[3], stroke_width=0.6)
        low = max(y for _, y in ring)
    d.text(x, low + 8, item["kind"], size=7, anchor="middle", halo=True)


def _north(d: svg.Drawing, x: float, y: float) -> None:
    d.polyline([(x, y - 16), (x + 5, y + 8), (x, y + 3), (x - 5, y + 8)], close=True, fill=svg.INK)
    d.text(x, y + 20, "N", size=10, weight=600, anchor="middle")


def _scale_bar(d: svg.Drawing, k: float, scale: int, height: float) -> None:
    """Ten feet in two-foot fields and three metres, so that either ruler finds its own."""
    y, foot = height - 16, k * 0.3048
    for n in range(5):
        d.rect(MARGIN + n * 2 * foot, y, 2 * foot, 4, fill=svg.INK if n % 2 == 0 else svg.PAPER, stroke_width=0.6)
    d.text(MARGIN, y - 3, "0", size=7)
    d.text(MARGIN + 10 * foot, y - 3, "10 ft (3.05 m)", size=7, anchor="middle")
    d.text(MARGIN, y + 13, f"1 : {scale}, {short(scale / 12)} ft to the inch, printed at 100 %", size=7.5)
