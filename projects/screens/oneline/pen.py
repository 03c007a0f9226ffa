"""Strokes and words that the drawings share."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from projects.route.standing_types import Gate, Standing

INK, SOFT, LIVE, LAMP, SHEET = "#1d2733", "#55606c", "#a83f16", "#f2c14e", "#fcf9f1"
HEAD_FONT = "Barlow Semi Condensed, Arial Narrow, sans-serif"
BUS, THIN, SYMBOL = 6.0, 2.2, 2.5
HALF = 16.0
"""Half the gap between a contact's two bars."""

STATE_WORDS = {
    "closed": "done",
    "live": "open, work can be done now",
    "waiting": "open, waiting on somebody else",
    "future": "not started",
}


def path(d: str, colour: str = INK, width: float = SYMBOL, *, dashed: bool = False) -> str:
    # Square ends close the joints of the thick bus without a hairline; dots of a dashed line are round.
    cap = "round" if dashed or width <= SYMBOL + 0.5 else "square"
    dash = ' stroke-dasharray="1 8"' if dashed else ""
    return f'<path d="{d}" fill="none" stroke="{colour}" stroke-width="{width:g}" stroke-linecap="{cap}"{dash}/>'


def words(x: float, y: float, text: str, *, size: float, colour: str = INK, bold: bool = False, anchor="middle") -> str:
    weight = 600 if bold else 500
    return (
        f'<text x="{x:g}" y="{y:g}" font-family="{HEAD_FONT}" font-size="{size:g}" font-weight="{weight}" '
        f'fill="{colour}" text-anchor="{anchor}">{escape(text)}</text>'
    )


def wrap(text: str, width_px: float, size: float, lines: int = 2) -> list[str]:
    """Breaks at spaces; no line is wider than ``width_px`` (Barlow Semi Condensed runs about 0.44 em a letter)."""
    room = max(6, int(width_px / (0.44 * size)))
    rows: list[str] = []
    for word in text.split():
        if rows and len(rows[-1]) + 1 + len(word) <= room:
            rows[-1] += " " + word
        else:
            rows.append(word)
    if len(rows) > lines:
        rest = " ".join(rows[lines - 1 :])
        rows = [*rows[: lines - 1], rest if len(rest) <= room else rest[: room - 1].rstrip(" ,") + "…"]
    return rows


def segment(d: str, *, energised: bool, colour: str = INK) -> str:
    return path(d, colour, BUS) if energised else path(d, INK, THIN, dashed=True)


def sun(x: float, y: float, size: float = 13) -> str:
    """The source: where every job's energy comes from."""
    r, a, b = size, size + 9, size + 17
    d, e = a * 0.72, b * 0.72
    rays = f"M{x} {y - a}V{y - b}M{x} {y + a}V{y + b}M{x - a} {y}H{x - b}"
    rays += f"M{x - d:g} {y - d:g}L{x - e:g} {y - e:g}M{x + d:g} {y - d:g}L{x + e:g} {y - e:g}"
    rays += f"M{x - d:g} {y + d:g}L{x - e:g} {y + e:g}M{x + d:g} {y + d:g}L{x + e:g} {y + e:g}"
    return f'<circle cx="{x}" cy="{y}" r="{r}" fill="none" stroke="{INK}" stroke-width="3"/>' + path(rays, INK, 2.4)


def lamp(x: float, y: float, *, lit: bool, size: float = 18) -> str:
    """The lamp at the end lights when the system is in service."""
    k = size * 0.7
    fill = LAMP if lit else "none"
    drawn = f'<circle cx="{x}" cy="{y}" r="{size}" fill="{fill}" stroke="{INK}" stroke-width="2.6"/>'
    drawn += path(f"M{x - k:g} {y - k:g}L{x + k:g} {y + k:g}M{x + k:g} {y - k:g}L{x - k:g} {y + k:g}", INK, 2.6)
    if lit:
        a, b = size + 6, size + 13
        d, e = a * 0.72, b * 0.72
        drawn += path(
            f"M{x} {y - a}V{y - b}M{x} {y + a}V{y + b}M{x + a} {y}H{x + b}"
            f"M{x - d:g} {y - d:g}L{x - e:g} {y - e:g}M{x + d:g} {y - d:g}L{x + e:g} {y - e:g}"
            f"M{x - d:g} {y + d:g}L{x - e:g} {y + e:g}M{x + d:g} {y + d:g}L{x + e:g} {y + e:g}",
            INK,
            2.4,
        )
    return drawn


def clock(x: float, y: float, size: float = 8) -> str:
    """Beside a gate whose next move is somebody else's: a symbol, since colour alone says nothing in print."""
    return f'<circle cx="{x:g}" cy="{y:g}" r="{size:g}" fill="{SHEET}" stroke="{LIVE}" stroke-width="2"/>' + path(
        f"M{x:g} {y - size * 0.55:g}V{y:g}L{x + size * 0.45:g} {y + size * 0.25:g}", LIVE, 1.8
    )


def accent(gate: Gate) -> str:
    return LIVE if gate.state in ("live", "waiting") else INK


def described(standing: Standing) -> str:
    """The whole drawing in one sentence, for those who hear it."""
    parts = [f"{gate.title}: {gate.caption or STATE_WORDS[gate.state]}" for gate in standing.gates]
    return "Progress. " + "; ".join(parts) + ("; in service." if standing.in_service else ".")


@dataclass(frozen=True)
class Column:
    """One place along the bus: a single gate, or the branches that run beside each other."""

    gates: tuple[Gate, ...]

    @property
    def parallel(self) -> bool:
        return len(self.gates) > 1

    @property
    def closed(self) -> bool:
        return all(gate.state == "closed" for gate in self.gates)


def columns(standing: Standing) -> list[Column]:
    found: list[Column] = []
    for gate in standing.gates:
        if gate.branch and found and found[-1].gates[0].branch:
            found[-1] = Column((*found[-1].gates, gate))
        else:
            found.append(Column((gate,)))
    return found
