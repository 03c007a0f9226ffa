"""The same drawing from top to bottom, for a tablet held upright and a phone."""

from __future__ import annotations

from html import escape

from django.utils.safestring import SafeString, mark_safe

from projects.route.standing_types import Gate, Standing
from projects.screens.oneline import pen
from projects.screens.oneline.pen import HALF, INK, LIVE, SOFT, SYMBOL

WIDTH = 460.0
BUS_X, RAIL = 60.0, 34.0
PITCH = 70.0
LABEL_X = 142.0


def oneline_tall(standing: Standing, *, end: str = "In service") -> SafeString:
    """An ``<svg>`` of 460 units' width; its height follows the number of gates. ``end``: the word at the lamp."""
    drawn = [pen.sun(BUS_X, 36, 11), pen.path(f"M{BUS_X} 62V74", INK, pen.BUS)]
    energised, y = True, 74.0
    for column in pen.columns(standing):
        if column.parallel:
            rails = [BUS_X - RAIL + 2 * RAIL * i / (len(column.gates) - 1) for i in range(len(column.gates))]
            bottom = y + PITCH * len(column.gates)
            for index, (gate, rail) in enumerate(zip(column.gates, rails, strict=True)):
                at = y + PITCH * (index + 0.5)
                live = energised and gate.state in ("live", "waiting")
                into, passed = LIVE if live else INK, energised and gate.state == "closed"
                drawn.append(pen.segment(f"M{BUS_X:g} {y:g}H{rail:g}V{at - HALF:g}", energised=energised, colour=into))
                drawn.append(pen.segment(f"M{rail:g} {at + HALF:g}V{bottom:g}H{BUS_X:g}", energised=passed))
                drawn.append(_contact(gate, rail, at, energised=energised))
                drawn.append(_label(gate, LABEL_X, at))
            y = bottom
        else:
            gate, at = column.gates[0], y + PITCH / 2
            into = LIVE if energised and gate.state in ("live", "waiting") else INK
            drawn.append(pen.segment(f"M{BUS_X:g} {y:g}V{at - HALF:g}", energised=energised, colour=into))
            passed = energised and gate.state == "closed"
            drawn.append(pen.segment(f"M{BUS_X:g} {at + HALF:g}V{y + PITCH:g}", energised=passed))
            drawn.append(_contact(gate, BUS_X, at, energised=energised))
            drawn.append(_label(gate, LABEL_X, at))
            y += PITCH
        energised = energised and column.closed
    drawn.append(pen.segment(f"M{BUS_X} {y:g}V{y + 14:g}", energised=energised))
    drawn.append(pen.lamp(BUS_X, y + 34, lit=standing.in_service))
    drawn.append(pen.words(LABEL_X, y + 40, end, size=19, bold=standing.in_service, anchor="start"))
    return mark_safe(
        f'<svg xmlns="http://www.w3.org/2000/svg" class="tall" viewBox="0 0 {WIDTH:g} {y + 70:g}" role="img" '
        f'aria-label="{escape(pen.described(standing))}">{"".join(drawn)}</svg>'
    )


def _contact(gate: Gate, x: float, y: float, *, energised: bool) -> str:
    bars = pen.path(f"M{x - 14:g} {y - HALF:g}H{x + 14:g}M{x - 14:g} {y + HALF:g}H{x + 14:g}", INK, SYMBOL)
    if gate.state == "closed":
        return pen.path(f"M{x:g} {y - HALF:g}V{y + HALF:g}", INK, pen.BUS if energised else 3.5) + bars
    strong = gate.state in ("live", "waiting")
    blade = pen.path(f"M{x:g} {y - HALF:g}L{x + 22:g} {y + HALF - 2:g}", pen.accent(gate), 5 if strong else SYMBOL)
    if gate.state == "live":
        blade += f'<circle cx="{x:g}" cy="{y - HALF:g}" r="5.5" fill="{LIVE}"/>'
    if gate.state == "waiting":
        blade += pen.clock(x + 26, y - 4)
    return bars + blade


def _label(gate: Gate, x: float, y: float) -> str:
    caption = pen.wrap(gate.caption, WIDTH - x - 8, 16) if gate.caption else []
    soft = LIVE if gate.current and gate.state != "closed" else SOFT
    top = y + 6 - 10 * len(caption)
    drawn = pen.words(x, top, gate.title, size=19, colour=pen.accent(gate), bold=True, anchor="start")
    return drawn + "".join(
        pen.words(x, top + 20 * (i + 1), text, size=16, colour=soft, anchor="start") for i, text in enumerate(caption)
    )
