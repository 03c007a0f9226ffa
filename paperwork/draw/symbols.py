"""Graphic symbols of the trade, after the practice of IEEE 315 and IEC 60617, drawn for paper in black alone.

Each function draws a symbol on its grid point, registers the box it takes and returns where wires may end.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from paperwork.draw.svg import INK, PAPER, Box, Drawing, Point, num

HEAVY = 1.2
LIGHT = 0.8


@dataclass(frozen=True)
class Ports:
    left: Point
    right: Point
    top: Point
    bottom: Point


def _ports(box: Box) -> Ports:
    cx, cy = (box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2
    return Ports((box.x0, cy), (box.x1, cy), (cx, box.y0), (cx, box.y1))


def _take(drawing: Drawing, centre: Point, width: float, height: float, what: str) -> Ports:
    x, y = centre
    box = Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2, what)
    drawing.symbols.append(box)
    return _ports(box)


def string_of_modules(drawing: Drawing, left: Point, what: str) -> Ports:
    """First and last module of a series string with the others left out between them; 62 by 15 points."""
    x, y = left
    ports = _take(drawing, (x + 31, y), 62, 15, what)
    for start in (x, x + 42):
        drawing.rect(start, y - 7.5, 20, 15, stroke_width=HEAVY, fill=PAPER)
        drawing.polyline([(start, y - 7.5), (start + 8, y), (start, y + 7.5)], stroke_width=LIGHT)
    drawing.line((x + 20, y), (x + 42, y), stroke_width=HEAVY, stroke_dasharray="2 2.4")
    return ports


def rapid_shutdown(drawing: Drawing, centre: Point, what: str) -> Ports:
    """A switch in a box, marked RS; 17 by 13 points."""
    x, y = centre
    ports = _take(drawing, centre, 17, 13, what)
    drawing.rect(x - 8.5, y - 6.5, 17, 13, stroke_width=LIGHT, fill=PAPER)
    drawing.text(x, y + 2.5, "RS", size=7.0, weight=600, anchor="middle")
    return ports


def switch(drawing: Drawing, centre: Point, what: str, *, fused: bool = False, upright: bool = False) -> Ports:
    """Disconnect switch in its enclosure, drawn open; 34 by 24 points (turned: 24 by 34). Fused: with a fuse."""
    x, y = centre
    if upright:
        ports = _take(drawing, centre, 24, 34, what)
        drawing.rect(x - 12, y - 17, 24, 34, stroke_width=LIGHT, stroke_dasharray="3 2", fill=PAPER)
        drawing.line((x, y - 17), (x, y - 8), stroke_width=HEAVY)
        drawing.circle((x, y - 7), 1.3, fill=PAPER)
        drawing.line((x, y + (4 if not fused else 1)), (x - 7, y - 6), stroke_width=HEAVY)
        drawing.circle((x, y + (5 if not fused else 2)), 1.3, fill=PAPER)
        drawing.line((x, y + (6.3 if not fused else 3.3)), (x, y + 17), stroke_width=HEAVY)
        if fused:
            drawing.rect(x - 2.6, y + 6, 5.2, 9, stroke_width=LIGHT)
        return ports
    ports = _take(drawing, centre, 34, 24, what)
    drawing.rect(x - 17, y - 12, 34, 24, stroke_width=LIGHT, stroke_dasharray="3 2", fill=PAPER)
    hinge, contact = (x - 8, x + 5) if not fused else (x - 11, x - 1)
    drawing.line((x - 17, y), (hinge - 1.3, y), stroke_width=HEAVY)
    drawing.circle((hinge, y), 1.3, fill=PAPER)
    drawing.line((hinge + 0.8, y - 1), (contact - 1, y - 7.5), stroke_width=HEAVY)
    drawing.circle((contact, y), 1.3, fill=PAPER)
    drawing.line((contact + 1.3, y), (x + 17, y), stroke_width=HEAVY)
    if fused:
        drawing.rect(x + 4, y - 2.6, 10, 5.2, stroke_width=LIGHT)
    return ports


def combiner(drawing: Drawing, centre: Point, what: str) -> Ports:
    """Strings joined, each through its fuse; 24 by 22 points."""
    x, y = centre
    ports = _take(drawing, centre, 24, 22, what)
    drawing.rect(x - 12, y - 11, 24, 22, stroke_width=LIGHT, fill=PAPER)
    for level in (y - 5, y + 5):
        drawing.line((x - 12, level), (x + 7, level), stroke_width=LIGHT)
        drawing.rect(x - 7, level - 2, 9, 4, stroke_width=LIGHT, fill=PAPER)
    drawing.line((x + 7, y - 5), (x + 7, y + 5), stroke_width=HEAVY)
    drawing.line((x + 7, y), (x + 12, y), stroke_width=HEAVY)
    return ports


def breaker(drawing: Drawing, a: Point, b: Point) -> None:
    """Circuit breaker as an arc over two contacts, within a level or upright wire from ``a`` to ``b``."""
    (ax, ay), (bx, by) = a, b
    if ay == by:
        mid, sign = (ax + bx) / 2, 1 if bx > ax else -1
        p, q = (mid - 5 * sign, ay), (mid + 5 * sign, ay)
        arc = f"M{num(min(p[0], q[0]))} {num(ay - 1)}A6.2 6.2 0 0 1 {num(max(p[0], q[0]))} {num(ay - 1)}"
    else:
        mid, sign = (ay + by) / 2, 1 if by > ay else -1
        p, q = (ax, mid - 5 * sign), (ax, mid + 5 * sign)
        arc = f"M{num(ax + 1)} {num(min(p[1], q[1]))}A6.2 6.2 0 0 1 {num(ax + 1)} {num(max(p[1], q[1]))}"
    drawing.line(a, p, stroke_width=HEAVY)
    drawing.line(q, b, stroke_width=HEAVY)
    for point in (p, q):
        drawing.circle(point, 1.2, fill=PAPER)
    drawing.path(arc, stroke_width=HEAVY)


def inverter(drawing: Drawing, centre: Point, what: str) -> Ports:
    """Square with a diagonal, direct current on one side and alternating on the other; 72 by 56 points."""
    x, y = centre
    ports = _take(drawing, centre, 72, 56, what)
    drawing.rect(x - 36, y - 28, 72, 56, stroke_width=1.6, fill=PAPER)
    drawing.line((x - 36, y + 28), (x + 36, y - 28), stroke_width=LIGHT)
    drawing.line((x - 27, y - 15), (x - 11, y - 15), stroke_width=HEAVY)
    drawing.line((x - 27, y - 11), (x - 11, y - 11), stroke_width=HEAVY, stroke_dasharray="4 2")
    drawing.path(f"M{num(x + 10)} {num(y + 14)}c3 -8 6 -8 9 0s6 8 9 0", stroke_width=HEAVY)
    return ports


def battery(drawing: Drawing, centre: Point, what: str) -> Ports:
    """Cells as long and short plates, upright; 30 by 26 points."""
    x, y = centre
    ports = _take(drawing, centre, 30, 26, what)
    for i, (half, weight) in enumerate(((14, LIGHT), (7, 2.0), (14, LIGHT), (7, 2.0))):
        level = y - 9 + i * 6
        drawing.line((x - half, level), (x + half, level), stroke_width=weight)
    drawing.line((x, y - 13), (x, y - 9), stroke_width=HEAVY)
    drawing.text(x + 12, y - 10.2, "+", size=7.0, weight=600)
    return ports


def storage_unit(drawing: Drawing, centre: Point, what: str) -> Ports:
    """Battery and its own inverter in one enclosure, inverter above, cells below; 52 by 64 points."""
    x, y = centre
    ports = _take(drawing, centre, 52, 64, what)
    drawing.rect(x - 26, y - 32, 52, 64, stroke_width=1.6, fill=PAPER)
    drawing.line((x - 26, y + 8), (x + 26, y + 8), stroke_width=LIGHT)
    drawing.line((x - 26, y + 8), (x + 26, y - 32), stroke_width=LIGHT)
    drawing.line((x - 20, y - 22), (x - 8, y - 22), stroke_width=HEAVY)
    drawing.line((x - 20, y - 18), (x - 8, y - 18), stroke_width=HEAVY, stroke_dasharray="3 1.5")
    drawing.path(f"M{num(x + 6)} {num(y - 1)}c2.4 -6.4 4.8 -6.4 7.2 0s4.8 6.4 7.2 0", stroke_width=HEAVY)
    drawing.line((x, y + 8), (x, y + 13), stroke_width=HEAVY)
    for half, weight, level in ((13, LIGHT, 13), (6.5, 2.0, 17.5), (13, LIGHT, 22), (6.5, 2.0, 26.5)):
        drawing.line((x - half, y + level), (x + half, y + level), stroke_width=weight)
    return ports


def generator(drawing: Drawing, centre: Point, what: str) -> Ports:
    x, y = centre
    ports = _take(drawing, centre, 28, 28, what)
    drawing.circle(centre, 14, stroke_width=HEAVY, fill=PAPER)
    drawing.text(x, y + 1, "G", size=10, weight=600, anchor="middle")
    drawing.path(f"M{num(x - 5)} {num(y + 7)}c1.7 -4.4 3.3 -4.4 5 0s3.3 4.4 5 0", stroke_width=LIGHT)
    return ports


def meter(drawing: Drawing, centre: Point, what: str) -> Ports:
    x, y = centre
    ports = _take(drawing, centre, 26, 26, what)
    drawing.circle(centre, 13, stroke_width=HEAVY, fill=PAPER)
    drawing.text(x, y + 2.7, "kWh", size=7.5, weight=600, anchor="middle")
    return ports


def utility(drawing: Drawing, centre: Point, what: str) -> Ports:
    """The utility's transformer: two rings; 30 by 19 points."""
    x, y = centre
    ports = _take(drawing, centre, 30, 19, what)
    drawing.circle((x - 5.5, y), 9.5, stroke_width=HEAVY)
    drawing.circle((x + 5.5, y), 9.5, stroke_width=HEAVY)
    return ports


def ground(drawing: Drawing, top: Point, what: str) -> Ports:
    """Earth: three lines of falling length below the wire's end; 20 by 9 points."""
    x, y = top
    ports = _take(drawing, (x, y + 4.5), 20, 9, what)
    for half, level in ((10, 0.6), (6.5, 4.2), (3, 7.8)):
        drawing.line((x - half, y + level), (x + half, y + level), stroke_width=HEAVY)
    return ports


def changeover(drawing: Drawing, centre: Point, what: str, *, below_alone: bool = False) -> Ports:
    """Backup interface: a contact that opens towards the grid (right) and leaves left and bottom joined; 46 by 40.

    ``below_alone``: nothing comes in from the left.
    """
    x, y = centre
    ports = _take(drawing, centre, 46, 40, what)
    drawing.rect(x - 23, y - 20, 46, 40, stroke_width=LIGHT, stroke_dasharray="3 2", fill=PAPER)
    if below_alone:
        drawing.line((x, y), (x, y + 20), stroke_width=HEAVY)
    else:
        drawing.line((x - 23, y), (x - 4, y), stroke_width=HEAVY)
        drawing.line((x - 4, y), (x - 4, y + 11), stroke_width=HEAVY)
        drawing.polyline([(x - 4, y + 11), (x, y + 11), (x, y + 20)], stroke_width=HEAVY)
        drawing.circle((x - 4, y), 1.5, fill=INK)
        drawing.line((x - 4, y), (x, y), stroke_width=HEAVY)
    drawing.line((x + 0.8, y - 1), (x + 11, y - 8), stroke_width=HEAVY)
    drawing.circle((x, y), 1.3, fill=PAPER)
    drawing.circle((x + 13, y), 1.3, fill=PAPER)
    drawing.line((x + 14.3, y), (x + 23, y), stroke_width=HEAVY)
    return ports


def wire(drawing: Drawing, *points: Point) -> None:
    """Level and upright pieces; each counts in the overlap test of labels."""
    drawing.polyline(points, stroke_width=HEAVY)
    for (ax, ay), (bx, by) in itertools.pairwise(points):
        if ax != bx and ay != by:
            raise ValueError("wires run level or upright")
        drawing.wires.append(Box(min(ax, bx) - 0.6, min(ay, by) - 0.6, max(ax, bx) + 0.6, max(ay, by) + 0.6, "wire"))


def side_by_side(drawing: Drawing, at: Point, number: int) -> None:
    """A stroke across a line that stands for several circuits, with their number."""
    x, y = at
    drawing.line((x - 2.6, y + 4.4), (x + 2.6, y - 4.4), stroke_width=HEAVY)
    drawing.text(x + 3.2, y - 4.6, str(number), size=7.0, weight=600)


def joint(drawing: Drawing, at: Point) -> None:
    drawing.circle(at, 1.9, fill=INK, stroke=INK)


def tag(drawing: Drawing, at: Point, letter: str) -> None:
    """The circuit's letter on its wire, as in the conductor schedule."""
    x, y = at
    drawing.symbols.append(Box(x - 6, y - 6, x + 6, y + 6, f"tag {letter}"))
    drawing.circle(at, 6, fill=PAPER, stroke=INK, stroke_width=0.9)
    drawing.text(x, y + 2.6, letter, size=7.4, weight=600, anchor="middle")
