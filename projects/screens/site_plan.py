"""The house from above: roof planes, what stands in the sun's way, north at the top. A typing slip shows at once."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from projects.screens.house_from_above import (
    Obstacle,
    Plane,
    Point,
    box_of,
    corners,
    edges,
    middle_of,
    middle_of_plane,
    on_ground,
)
from projects.screens.measures import FEET, METRES_PER_FOOT, about_length, compass, show_pitch

WIDTH, HEIGHT, MARGIN = 640.0, 520.0, 54.0
SUN_X, SUN_Y = WIDTH / 2, 22.0
"""Where the noon sun is marked: so far from the sheet's lower edge, or from its upper one south of the equator."""


class _Frame:
    """Metres on the ground to points on the drawing."""

    def __init__(self, planes: Sequence[Plane], obstacles: Sequence[Obstacle]) -> None:
        points = [point for plane in planes for point in corners(plane)] or [(-6.0, -4.0), (6.0, 4.0)]
        for obstacle in obstacles:
            x, y = middle_of(obstacle)
            reach = obstacle.width_m / 2
            round_ = [(x - reach, y - reach), (x + reach, y + reach)]
            points += round_ if obstacle.kind == "tree" else box_of(obstacle)
        points += [(-6.0, -6.0), (6.0, 6.0)]
        west, east = min(p[0] for p in points), max(p[0] for p in points)
        south, north = min(p[1] for p in points), max(p[1] for p in points)
        self.scale = min((WIDTH - 2 * MARGIN) / (east - west), (HEIGHT - 2 * MARGIN) / (north - south))
        self.middle = ((west + east) / 2, (south + north) / 2)

    def at(self, point: Point) -> Point:
        return (
            WIDTH / 2 + (point[0] - self.middle[0]) * self.scale,
            HEIGHT / 2 - (point[1] - self.middle[1]) * self.scale,
        )


def plan_svg(
    planes: Sequence[Plane],
    obstacles: Sequence[Obstacle],
    *,
    unit: str = FEET,
    draft: Plane | Obstacle | None = None,
    modules: Mapping[str, int] | None = None,
    southern: bool = False,
) -> SafeString:
    """The drawing; ``draft`` (not saved yet) is drawn in the accent; ``modules``: how many the design puts on a plane.
    Presentation attributes only: the policy on inline style holds here too."""
    frame = _Frame(planes, obstacles)
    parts = [
        f'<svg class="plan" viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}" role="img" '
        f'aria-label="{escape(_in_words(planes, obstacles, unit))}">'
    ]
    parts += _compass_rose(southern)
    # A chimney stands on the roof, a tree beside it: what is near is drawn over the planes.
    near = [obstacle for obstacle in obstacles if obstacle.kind == "chimney"]
    for obstacle in obstacles:
        if obstacle not in near:
            parts += _obstacle(frame, obstacle, unit, obstacle is draft)
    for plane in planes:
        parts += _plane(frame, plane, unit, plane is draft, (modules or {}).get(plane.name))
    for obstacle in near:
        parts += _obstacle(frame, obstacle, unit, obstacle is draft)
    x, y = frame.at((0, 0))
    parts.append(f'<path class="pl-ink" d="M{x - 5:.1f} {y:.1f}h10M{x:.1f} {y - 5:.1f}v10" stroke-width="1.4"/>')
    parts += _scale_bar(frame, unit)
    parts.append("</svg>")
    return mark_safe("".join(parts))


def _in_words(planes: Sequence[Plane], obstacles: Sequence[Obstacle], unit: str) -> str:
    roof = "; ".join(
        f"{p.name} faces {p.azimuth_deg:.0f}° {compass(p.azimuth_deg)} at {show_pitch(p.tilt_deg)}" for p in planes
    )
    around = "; ".join(
        f"{o.kind} {about_length(o.height_m, unit)} tall, {about_length(o.distance_m, unit)} to the "
        f"{compass(o.bearing_deg)}"
        for o in obstacles
    )
    return f"Plan from above. Roof: {roof or 'not measured yet'}. Around it: {around or 'nothing recorded'}."


def _text(x: float, y: float, words: str, kind: str = "pl-text", size: float = 14, anchor: str = "middle") -> str:
    return (
        f'<text class="{kind}" x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}">{escape(words)}</text>'
    )


def _plane(frame: _Frame, plane: Plane, unit: str, draft: bool, modules: int | None) -> list[str]:
    ink = "pl-live" if draft else "pl-ink"
    spots = [frame.at(corner) for corner in corners(plane)]
    outline = " ".join(f"{x:.1f},{y:.1f}" for x, y in spots)
    cx, cy = frame.at(middle_of_plane(plane))
    facing = math.radians(plane.azimuth_deg)
    dx, dy = math.sin(facing), -math.cos(facing)
    depth = plane.slope_length_m * math.cos(math.radians(plane.tilt_deg)) * frame.scale
    reach = min(depth * 0.24, 28)
    # The arrow runs downhill from above the words to below them.
    ex, ey = frame.at(on_ground(plane, plane.width_m / 2, 0.0))
    to_eave = (ex - cx) * dx + (ey - cy) * dy
    # Where the words leave no room before the eave, the arrow stands outside.
    low = to_eave < depth * 0.38
    outside = low or (abs(dx) > 0.7 and to_eave < 50 + reach)
    tip = to_eave + reach + 5 if outside else to_eave - 6
    tx, ty = cx + dx * tip, cy + dy * tip
    fx, fy = tx - dx * reach, ty - dy * reach
    left = (tx - dx * 8 - dy * 5, ty - dy * 8 + dx * 5)
    right = (tx - dx * 8 + dy * 5, ty - dy * 8 - dx * 5)
    parts = [
        f'<polygon class="pl-roof {ink}" points="{outline}" stroke-width="1.6"/>',
        *_named_edges(frame, plane, ink),
    ]
    if plane.tilt_deg >= 1:
        parts.append(
            f'<path class="{ink}" stroke-width="1.8" d="M{fx:.1f} {fy:.1f}L{tx:.1f} {ty:.1f}'
            f'M{left[0]:.1f} {left[1]:.1f}L{tx:.1f} {ty:.1f}L{right[0]:.1f} {right[1]:.1f}"/>'
        )
    shorter = min(plane.width_m * frame.scale, depth)
    roomy = shorter > 62 and plane.width_m * frame.scale > 90
    words = [f"{plane.azimuth_deg:.0f}° {compass(plane.azimuth_deg)}, {show_pitch(plane.tilt_deg)}"]
    if modules is not None:
        words.append(f"{modules} modules")
    elif (shorter > 100 and not low) or draft:
        words.append(f"{about_length(plane.width_m, unit)} × {about_length(plane.slope_length_m, unit)}")
    # Up the slope, away from the arrow: between hips the middle of the area lies low.
    lift = depth * 0.12 + (0.0 if outside else max(depth / 2 - to_eave, 0.0))
    nx, ny = _place_of_words(frame, plane, spots, (cx, cy), (dx, dy), roomy=roomy, lines=len(words), lift=lift)
    parts.append(_text(nx, ny - 3, plane.name, "pl-livetext" if draft else "pl-text", 15))
    parts += [_text(nx, ny + 13 + 15 * n, line, "pl-soft", 13) for n, line in enumerate(words)]
    return parts


def _place_of_words(
    frame: _Frame,
    plane: Plane,
    spots: Sequence[Point],
    middle: Point,
    down: Point,
    *,
    roomy: bool,
    lines: int,
    lift: float,
) -> Point:
    """Where a plane's name stands: on it, or where it has no room for words on the side away from the house."""
    cx, cy = middle
    if roomy or math.hypot(plane.x_m, plane.y_m) <= 2:
        return cx - down[0] * lift, cy - down[1] * lift
    ox, oy = frame.at((0, 0))
    away = math.hypot(cx - ox, cy - oy)
    ux, uy = (cx - ox) / away, (cy - oy) / away
    reach = max((x - cx) * ux + (y - cy) * uy for x, y in spots) + 16 + 34 * abs(ux)
    nx, ny = cx + ux * reach, cy + uy * reach
    nx, ny = min(max(nx, 70), WIDTH - 70), min(max(ny, 30), HEIGHT - 40)
    if abs(nx - SUN_X) > 150 or 2 * SUN_Y < ny < HEIGHT - 2 * SUN_Y - 15 * lines:
        return nx, ny
    # There the noon sun is marked: the words stand beside the plane, where the sheet is wider.
    east, west = max(x for x, _ in spots), min(x for x, _ in spots)
    return (east + 66 if WIDTH - east > west else west - 66), cy


def _named_edges(frame: _Frame, plane: Plane, ink: str) -> list[str]:
    """Eaves thick, valleys dashed over."""
    parts = []
    for start, end, kind in edges(plane):
        (ax, ay), (bx, by) = frame.at(start), frame.at(end)
        if kind == "eave":
            parts.append(f'<path class="{ink}" d="M{ax:.1f} {ay:.1f}L{bx:.1f} {by:.1f}" stroke-width="4.5"/>')
        elif kind == "valley":
            parts.append(
                f'<path class="{ink}" d="M{ax:.1f} {ay:.1f}L{bx:.1f} {by:.1f}" stroke-width="3.6" '
                'stroke-dasharray="7 5"/>'
            )
    return parts


def _obstacle(frame: _Frame, obstacle: Obstacle, unit: str, draft: bool) -> list[str]:
    ink = "pl-live" if draft else "pl-ink"
    x, y = frame.at(middle_of(obstacle))
    ox, oy = frame.at((0, 0))
    r = max(obstacle.width_m / 2 * frame.scale, 4)
    parts = [f'<path class="pl-rule" d="M{ox:.1f} {oy:.1f}L{x:.1f} {y:.1f}" stroke-width="1" stroke-dasharray="3 5"/>']
    if obstacle.kind == "tree":
        parts.append(f'<circle class="pl-crown {ink}" cx="{x:.1f}" cy="{y:.1f}" r="{r:.1f}" stroke-width="1.8"/>')
        spokes = 12 if obstacle.evergreen else 7
        inner = 0.25 if obstacle.evergreen else 0.62
        lines = []
        for n in range(spokes):
            turn = 2 * math.pi * n / spokes
            sx, sy = math.cos(turn), math.sin(turn)
            lines.append(f"M{x + sx * r * inner:.1f} {y + sy * r * inner:.1f}L{x + sx * r:.1f} {y + sy * r:.1f}")
        parts.append(f'<path class="{ink}" d="{"".join(lines)}" stroke-width="1.1"/>')
        parts.append(f'<circle class="pl-dot" cx="{x:.1f}" cy="{y:.1f}" r="2.6"/>')
    else:
        spots = [frame.at(corner) for corner in box_of(obstacle)]
        outline = " ".join(f"{sx:.1f},{sy:.1f}" for sx, sy in spots)
        parts.append(f'<polygon class="pl-crown {ink}" points="{outline}" stroke-width="1.8"/>')
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = spots
        parts.append(
            f'<path class="{ink}" d="M{ax:.1f} {ay:.1f}L{cx:.1f} {cy:.1f}M{bx:.1f} {by:.1f}L{dx:.1f} {dy:.1f}" '
            'stroke-width="1"/>'
        )
    kind = "pl-livetext" if draft else "pl-soft"
    words = f"{obstacle.kind}, {about_length(obstacle.height_m, unit)} tall"
    if obstacle.kind == "chimney":
        east = x < WIDTH - 140
        parts.append(_text(x + (r + 6 if east else -r - 6), y + 4, words, kind, 12.5, "start" if east else "end"))
        return parts
    below = y + r + 15
    # Near an edge the words are pulled in, so that nothing is cut off.
    lx = min(max(x, 76), WIDTH - 76)
    parts.append(_text(lx, below if below < HEIGHT - 8 else y - r - 7, words, kind, 13))
    return parts


def _compass_rose(southern: bool) -> list[str]:
    x, y = WIDTH - 34, 44
    sun_y = SUN_Y if southern else HEIGHT - SUN_Y
    rays = "".join(
        f"M{SUN_X + 11 * math.cos(a):.1f} {sun_y + 11 * math.sin(a):.1f}"
        f"L{SUN_X + 15 * math.cos(a):.1f} {sun_y + 15 * math.sin(a):.1f}"
        for a in (math.pi / 4 * n for n in range(8))
    )
    return [
        f'<path class="pl-ink" stroke-width="2" '
        f'd="M{x} {y + 26}V{y - 20}M{x - 7} {y - 8}L{x} {y - 22}L{x + 7} {y - 8}"/>',
        _text(x, y + 44, "N", size=17),
        f'<circle class="pl-ink" cx="{SUN_X}" cy="{sun_y}" r="7" stroke-width="1.8"/>'
        f'<path class="pl-ink" d="{rays}" stroke-width="1.6"/>',
        _text(SUN_X + 24, sun_y + 4, "noon sun", "pl-soft", 13, "start"),
    ]


def _scale_bar(frame: _Frame, unit: str) -> list[str]:
    one = METRES_PER_FOOT if unit == FEET else 1.0
    length = max((n for n in (1, 2, 5, 10, 20, 50, 100, 200) if n * one * frame.scale <= 150), default=1)
    width = length * one * frame.scale
    x, y = 22, HEIGHT - 18
    label = f"{length} ft" if unit == FEET else f"{length} m"
    return [
        f'<path class="pl-ink" d="M{x} {y - 5}v10M{x} {y}h{width:.1f}M{x + width:.1f} {y - 5}v10" stroke-width="1.6"/>',
        _text(x + width + 8, y + 4.5, label, "pl-soft", 13, "start"),
    ]
