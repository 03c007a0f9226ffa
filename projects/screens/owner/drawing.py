"""The pipeline as one picture: every stage a place on the bus, its jobs stacked as blocks, late ones marked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from html import escape

from django.utils.safestring import SafeString, mark_safe

from projects.screens.oneline import pen
from projects.screens.oneline.pen import HALF, INK, LIVE, SOFT, SYMBOL

WIDTH, NARROW = 1320.0, 780.0
TURN = 24.0
"""Room between two rows, where the bus turns back."""
BLOCK_W, BLOCK_H, GAP, ROW = 16.0, 11.0, 3.0, 5


@dataclass(frozen=True)
class StageLoad:
    key: str
    title: str
    jobs: int
    late: int
    value_usd: Decimal


def money(value: Decimal) -> str:
    """ "$412k": a morning's look needs no cents."""
    if value >= 1_000_000:
        return f"${value / 1_000_000:.2f}M"
    return f"${value / 1000:.0f}k" if value >= 1000 else f"${value:.0f}"


def pipeline_drawing(loads: Sequence[StageLoad], *, limit: int = 60, rows: int = 1) -> SafeString:
    """One block a job; with over ``limit`` jobs in the fullest stage a block stands for several, and it says so.

    ``rows``: 1 for a desk's screen; 2 for an upright tablet, where the bus turns back under itself and the lettering
    keeps its size.
    """
    width = WIDTH if rows == 1 else NARROW
    per_row = max(1, math.ceil(len(loads) / rows))
    most = max((load.jobs for load in loads), default=0)
    per_block = max(1, math.ceil(most / limit))
    column = (width - 96 - 30) / per_row
    drawn: list[str] = []
    route, height, end = "", 0.0, width - 20
    for first in range(0, max(len(loads), 1), per_row):
        of_row = loads[first : first + per_row]
        tallest = math.ceil(max((load.jobs for load in of_row), default=0) / (ROW * per_block))
        bus = height + 44 + max(1, tallest) * (BLOCK_H + GAP) + 26
        if first == 0:
            drawn.append(pen.sun(42, bus, 11))
        route += f"V{height - TURN / 2:g}H30V{bus:g}H{end:g}" if route else f"M68 {bus:g}H{end:g}"
        for index, load in enumerate(of_row):
            drawn += _place(load, 96 + column * (index + 0.5), bus, column, per_block)
        height = bus + 104 + (TURN if first + per_row < len(loads) else 0)
    drawn.insert(0, pen.path(route, INK, 4))
    legend = f"One block is {'a job' if per_block == 1 else f'{per_block} jobs'}; a slashed block is late."
    drawn.append(pen.words(end, 20 if rows == 1 else height - 12, legend, size=14, colour=SOFT, anchor="end"))
    spoken = "; ".join(f"{load.title}: {load.jobs} jobs, {load.late} late, {money(load.value_usd)}" for load in loads)
    return mark_safe(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" role="img" '
        f'aria-label="{escape(spoken)}">{"".join(drawn)}</svg>'
    )


def _place(load: StageLoad, centre: float, bus: float, column: float, per_block: int) -> list[str]:
    """One stage on the bus: its contact, its blocks above, its name and money below."""
    drawn = [pen.path(f"M{centre - HALF:g} {bus - 10:g}v20M{centre + HALF:g} {bus - 10:g}v20", INK, SYMBOL)]
    drawn.append(_stack(load, centre, bus - 20, per_block))
    used = math.ceil(load.jobs / (ROW * per_block))
    drawn.append(pen.words(centre, bus - 28 - used * (BLOCK_H + GAP), str(load.jobs), size=22, bold=True))
    bottom = bus + 34
    for text in pen.wrap(load.title, column - 6, 16):
        drawn.append(pen.words(centre, bottom, text, size=16, bold=True))
        bottom += 18
    value = money(load.value_usd) if load.value_usd else "no price yet"
    drawn.append(pen.words(centre, bottom, value, size=15, colour=SOFT))
    if load.late:
        drawn.append(pen.words(centre, bottom + 19, f"{load.late} late", size=15, colour=LIVE, bold=True))
    return drawn


def _stack(load: StageLoad, centre: float, base: float, per_block: int) -> str:
    """Late jobs stand at the bottom, where the eye begins; a slash marks them for eyes that don't see the accent."""
    blocks, late = math.ceil(load.jobs / per_block), math.ceil(load.late / per_block)
    left = centre - (ROW * (BLOCK_W + GAP) - GAP) / 2
    drawn = []
    for i in range(blocks):
        x, y = left + (i % ROW) * (BLOCK_W + GAP), base - BLOCK_H - (i // ROW) * (BLOCK_H + GAP)
        fill = LIVE if i < late else INK
        drawn.append(f'<rect x="{x:g}" y="{y:g}" width="{BLOCK_W:g}" height="{BLOCK_H:g}" fill="{fill}"/>')
        if i < late:
            slash = f"M{x + 2:g} {y + BLOCK_H - 1:g}L{x + BLOCK_W - 2:g} {y + 1:g}"
            drawn.append(f'<path d="{slash}" stroke="{pen.SHEET}" stroke-width="2"/>')
    return "".join(drawn)
