"""The owner's bars in ink: months behind and ahead, crews' weeks against what they can take, shares with their limits.

Filling tells series apart, never colour alone; each drawing says in words what it shows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from projects.screens.charts import INK, LIVE, PAPER, RULE, SOFT, hatch, line, ruled, svg, text

WIDTH = 660.0


@dataclass(frozen=True)
class MonthBar:
    label: str
    past: float
    """Solid."""
    expected: float
    """Hatched, on top of it."""
    now: bool = False


@dataclass(frozen=True)
class WeekBar:
    label: str
    booked: float
    capacity: float


@dataclass(frozen=True)
class ShareLine:
    name: str
    share: float | None
    low: float
    high: float
    note: str


def month_bars(bars: Sequence[MonthBar], *, unit: str, words: str, name: str, height: float = 250) -> SafeString:
    """``name``: tells the hatching of several drawings on a page apart."""
    left, right, top, bottom = 66.0, WIDTH - 8, 34.0, height - 30
    largest = max([bar.past + bar.expected for bar in bars] + [0.001])
    grid, most = ruled(left, right, top, bottom, largest, unit)
    parts = [f"<defs>{hatch(name)}</defs>", *grid]
    slot = (right - left) / max(len(bars), 1)
    for n, bar in enumerate(bars):
        x, wide = left + slot * (n + 0.18), slot * 0.64
        solid = (bottom - top) * bar.past / most
        hatched = (bottom - top) * bar.expected / most
        if solid > 0:
            parts.append(_box(x, bottom - solid, wide, solid, INK))
        if hatched > 0:
            parts.append(_box(x, bottom - solid - hatched, wide, hatched, f"url(#{name})"))
        weight = 700 if bar.now else 500
        parts.append(text(x + wide / 2, bottom + 20, bar.label, weight=weight, fill=INK if bar.now else SOFT))
    return svg(WIDTH, height, words, parts)


def week_bars(bars: Sequence[WeekBar], *, words: str, height: float = 230) -> SafeString:
    """Booked days solid; what goes beyond the frame of what the crews can take is marked by colour and a slash."""
    left, right, top, bottom = 78.0, WIDTH - 8, 34.0, height - 30
    largest = max([max(bar.booked, bar.capacity) for bar in bars] + [1.0])
    grid, most = ruled(left, right, top, bottom, largest, "crew days")
    parts = list(grid)
    slot = (right - left) / max(len(bars), 1)
    for n, bar in enumerate(bars):
        x, wide = left + slot * (n + 0.2), slot * 0.6
        within = (bottom - top) * min(bar.booked, bar.capacity) / most
        over = (bottom - top) * max(bar.booked - bar.capacity, 0) / most
        frame = (bottom - top) * bar.capacity / most
        if within > 0:
            parts.append(_box(x, bottom - within, wide, within, INK))
        if over > 0:
            parts.append(_box(x, bottom - within - over, wide, over, LIVE))
            parts.append(line([(x + 3, bottom - within - 3), (x + wide - 3, bottom - within - over + 3)], colour=PAPER))
        parts.append(line([(x - 5, bottom - frame), (x + wide + 5, bottom - frame)], width=3, colour=INK))
        parts.append(text(x + wide / 2, bottom + 20, bar.label, fill=SOFT))
    return svg(WIDTH, height, words, parts)


def paired_bars(
    pairs: Sequence[tuple[str, float, float]], *, names: tuple[str, str], unit: str, words: str, height: float = 230
) -> SafeString:
    """Label, hollow and solid: the same weeks under two suppositions."""
    left, right, top, bottom = 78.0, WIDTH - 8, 52.0, height - 30
    grid, most = ruled(left, right, top, bottom, max([max(a, b) for _, a, b in pairs] + [0.001]), unit)
    parts = list(grid)
    for x, name, fill in ((left, names[0], PAPER), (left + 190, names[1], INK)):
        parts.append(_box(x, 6, 22, 13, fill))
        parts.append(text(x + 30, 18, name, anchor="start", size=13.5, weight=600))
    slot = (right - left) / max(len(pairs), 1)
    for n, (label, hollow, solid) in enumerate(pairs):
        x, wide = left + slot * (n + 0.14), slot * 0.35
        for at, value, fill in ((x, hollow, PAPER), (x + wide, solid, INK)):
            if value > 0:
                high = (bottom - top) * value / most
                parts.append(_box(at, bottom - high, wide, high, fill))
        parts.append(text(x + wide, bottom + 20, label, fill=SOFT))
    return svg(WIDTH, height, words, parts)


def share_lines(rows: Sequence[ShareLine], *, words: str) -> SafeString:
    """Dot: the share; whisker: its 95 % limits."""
    row_height, left, right = 34.0, 210.0, WIDTH - 120
    height = len(rows) * row_height + 42
    parts = []
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        x = left + (right - left) * share
        parts.append(line([(x, 4), (x, height - 32)], width=1, colour=RULE))
        parts.append(text(x, height - 14, f"{share * 100:.0f} %", fill=SOFT))
    for n, row in enumerate(rows):
        y = 6 + row_height * (n + 0.5)
        parts.append(text(left - 14, y + 5, row.name, anchor="end", size=14.5, weight=600))
        parts.append(text(right + 14, y + 5, row.note, anchor="start", fill=SOFT))
        low, high = (left + (right - left) * limit for limit in (row.low, row.high))
        parts.append(line([(low, y), (high, y)], width=2.2))
        for x in (low, high):
            parts.append(line([(x, y - 6), (x, y + 6)], width=2.2))
        if row.share is not None:
            x = left + (right - left) * row.share
            parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="6" fill="{LIVE}" stroke="{PAPER}" stroke-width="1.5"/>')
    return svg(WIDTH, height, words, parts)


def _box(x: float, y: float, wide: float, high: float, fill: str) -> str:
    return (
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}" fill="{fill}" stroke="{INK}" '
        f'stroke-width="1.2"/>'
    )
