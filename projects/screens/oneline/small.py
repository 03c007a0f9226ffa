"""The drawing in a list's row: no words, one symbol a gate."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from django.utils.safestring import SafeString, mark_safe

from projects.screens.oneline.pen import INK, LAMP, LIVE

STEP, MIDDLE = 22.0, 13.0


def oneline_small(gates: Iterable, *, in_service: bool = False, label: str = "") -> SafeString:
    """``gates``: (state, key) pairs in drawing order, as cached on the job; permit branches are stacked."""
    places: list[list[str]] = []
    branch_before = False
    for state, key in gates:
        branch = str(key).startswith("permit_")
        if branch and branch_before:
            places[-1].append(state)
        else:
            places.append([state])
        branch_before = branch
    drawn, energised, x = [], True, 2.0
    for states in places:
        closed = all(state == "closed" for state in states)
        if len(states) == 1:
            drawn.append(_gate(states[0], x, MIDDLE, energised))
        else:
            spread = 12.0 / (len(states) - 1)
            for i, state in enumerate(states):
                y = MIDDLE - 6 + spread * i
                drawn.append(_line(f"M{x:g} {MIDDLE:g}V{y:g}", energised))
                drawn.append(_gate(state, x, y, energised, half=3.5))
                drawn.append(_line(f"M{x + STEP:g} {y:g}V{MIDDLE:g}", energised and state == "closed"))
        energised = energised and closed
        x += STEP
    lit = f'fill="{LAMP}"' if in_service else 'fill="none"'
    drawn.append(f'<circle cx="{x + 7:g}" cy="{MIDDLE:g}" r="6" {lit} stroke="{INK}" stroke-width="1.6"/>')
    return mark_safe(
        f'<svg xmlns="http://www.w3.org/2000/svg" class="oneline-small" viewBox="0 0 {x + 15:g} 26" role="img" '
        f'preserveAspectRatio="xMinYMid" '
        f'aria-label="{escape(label or "progress")}">{"".join(drawn)}</svg>'
    )


def _line(d: str, energised: bool, colour: str = INK) -> str:
    if energised:
        return f'<path d="{d}" fill="none" stroke="{colour}" stroke-width="3"/>'
    return f'<path d="{d}" fill="none" stroke="{INK}" stroke-width="1.2" stroke-dasharray="1.5 2.5"/>'


def _gate(state: str, x: float, y: float, energised: bool, half: float = 5.0) -> str:
    a, b = x + 7, x + 15
    live = state in ("live", "waiting")
    drawn = _line(f"M{x:g} {y:g}H{a:g}", energised, LIVE if live and energised else INK)
    drawn += _line(f"M{b:g} {y:g}H{x + STEP:g}", energised and state == "closed")
    bars = f"M{a:g} {y - half:g}v{2 * half:g}M{b:g} {y - half:g}v{2 * half:g}"
    drawn += f'<path d="{bars}" stroke="{INK}" stroke-width="1.5"/>'
    if state == "closed":
        return drawn + f'<path d="M{a:g} {y:g}H{b:g}" stroke="{INK}" stroke-width="{3 if energised else 2}"/>'
    colour, width = (LIVE, 2.8) if live else (INK, 1.4)
    return drawn + f'<path d="M{a:g} {y:g}L{b:g} {y - half - 2:g}" stroke="{colour}" stroke-width="{width}"/>'
