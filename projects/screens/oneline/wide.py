"""The full drawing, for a desk, a tablet held wide and a page of paper."""

from __future__ import annotations

from html import escape

from django.utils.safestring import SafeString, mark_safe

from projects.route.standing_types import Gate, Standing
from projects.screens.oneline import pen
from projects.screens.oneline.pen import HALF, INK, LIVE, SOFT, SYMBOL, THIN, Column

WIDTH = 1320.0
FIRST, LAST = 96.0, 1236.0
"""Where the first column begins and the last one ends; the source and the lamp stand outside."""
SPREAD = {2: (-58.0, 58.0), 3: (-78.0, 0.0, 78.0)}
TITLE, CAPTION = 17.0, 15.0


def oneline_wide(standing: Standing, *, end: str = "In service") -> SafeString:
    """An ``<svg>`` of 1320 units' width that scales with its box. ``end``: the word under the lamp."""
    cols = pen.columns(standing)
    deepest = max((len(column.gates) for column in cols), default=1)
    middle = {1: 66.0, 2: 124.0, 3: 146.0}[min(deepest, 3)]
    height = middle + {1: 116.0, 2: 146.0, 3: 166.0}[min(deepest, 3)]
    weights = [2.0 if column.parallel else 1.0 + 0.012 * len(column.gates[0].title) for column in cols]
    unit = (LAST - FIRST) / (sum(weights) or 1)

    drawn = [pen.sun(42, middle), pen.path(f"M72 {middle}H{FIRST}", INK, pen.BUS)]
    energised, x = True, FIRST
    for column, weight in zip(cols, weights, strict=True):
        x_end = x + weight * unit
        if column.parallel:
            drawn.append(_parallel(column, x, x_end, middle, energised=energised))
        else:
            drawn.append(_single(column.gates[0], x, x_end, middle, energised=energised))
        energised = energised and column.closed
        x = x_end
    drawn.append(pen.segment(f"M{x:g} {middle}H1258", energised=energised))
    drawn.append(pen.lamp(1278, middle, lit=standing.in_service))
    drawn.append(
        pen.words(1278, middle + (50 if standing.in_service else 42), end, size=TITLE, bold=standing.in_service)
    )
    return mark_safe(
        f'<svg xmlns="http://www.w3.org/2000/svg" class="wide" viewBox="0 0 {WIDTH:g} {height:g}" role="img" '
        f'aria-label="{escape(pen.described(standing))}">{"".join(drawn)}</svg>'
    )


def _contact(gate: Gate, x: float, y: float, *, energised: bool) -> str:
    """Two bars; closed: the bus runs through, open: a blade stands off the second bar."""
    colour = pen.accent(gate)
    bars = pen.path(f"M{x - HALF:g} {y - 14}V{y + 14}M{x + HALF:g} {y - 14}V{y + 14}", INK, SYMBOL)
    if gate.state == "closed":
        return pen.path(f"M{x - HALF:g} {y}H{x + HALF:g}", INK, pen.BUS if energised else 3.5) + bars
    strong = gate.state in ("live", "waiting")
    blade = pen.path(f"M{x - HALF:g} {y}L{x + HALF - 2:g} {y - 22}", colour, 5 if strong else SYMBOL)
    if gate.state == "live":
        blade += f'<circle cx="{x - HALF:g}" cy="{y:g}" r="5.5" fill="{LIVE}"/>'
    if gate.state == "waiting":
        blade += pen.clock(x + HALF + 14, y - 20)
    return bars + blade


def _single(gate: Gate, x: float, x_end: float, y: float, *, energised: bool) -> str:
    centre = (x + x_end) / 2
    into = LIVE if energised and gate.state in ("live", "waiting") else INK
    drawn = pen.segment(f"M{x:g} {y}H{centre - HALF:g}", energised=energised, colour=into)
    drawn += pen.segment(f"M{centre + HALF:g} {y}H{x_end:g}", energised=energised and gate.state == "closed")
    drawn += _contact(gate, centre, y, energised=energised)
    return drawn + _label(gate, centre, y + 42, x_end - x - 8)


def _label(gate: Gate, x: float, y: float, room: float, *, above: bool = False) -> str:
    title = pen.wrap(gate.title, room, TITLE)
    caption = pen.wrap(gate.caption, room, CAPTION) if gate.caption else []
    colour, soft = pen.accent(gate), LIVE if gate.current and gate.state != "closed" else SOFT
    rows = [(text, TITLE, colour, True) for text in title] + [(text, CAPTION, soft, False) for text in caption]
    if above:
        # Above the line the caption comes first, so that the title stays next to its gate.
        rows = rows[len(title) :] + rows[: len(title)]
        y -= 20 * (len(rows) - 1)
    return "".join(
        pen.words(x, y + 20 * i, text, size=size, colour=fill, bold=bold)
        for i, (text, size, fill, bold) in enumerate(rows)
    )


def _parallel(column: Column, x: float, x_end: float, middle: float, *, energised: bool) -> str:
    left, right = x + 26, x_end - 26
    centre = (left + right) / 2
    offsets = SPREAD[min(len(column.gates), 3)]
    drawn = [pen.segment(f"M{x:g} {middle}H{left:g}", energised=energised)]
    closed_after = []
    for index, gate in enumerate(column.gates[:3]):
        y = middle + offsets[index]
        live = gate.state in ("live", "waiting")
        into = LIVE if energised and live else INK
        corner = f"M{left:g} {middle}V{y:g}H{centre - HALF:g}"
        out = f"M{centre + HALF:g} {y:g}H{right:g}V{middle}"
        passed = energised and gate.state == "closed"
        # Drawn in this order the thick ink of a closed branch stays on top of another's dots at the corner.
        closed_after.append((passed, out))
        drawn.append(pen.segment(corner, energised=energised, colour=into))
        drawn.append(_contact(gate, centre, y, energised=energised))
        above = index == 0
        drawn.append(_label(gate, centre, y - 32 if above else y + 36, right - left + 70, above=above))
    drawn += [pen.segment(out, energised=passed) for passed, out in sorted(closed_after)]
    done = energised and column.closed
    drawn.append(pen.segment(f"M{right:g} {middle}H{x_end:g}", energised=done))
    drawn.append(f'<circle cx="{left:g}" cy="{middle:g}" r="{4 if energised else THIN:g}" fill="{INK}"/>')
    return "".join(drawn)
