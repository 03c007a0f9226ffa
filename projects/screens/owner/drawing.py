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

WIDTH = 1320.0
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


def pipeline_drawing(loads: Sequence[StageLoad], *, limit: int = 60) -> SafeString:
    """One block a job; with over ``limit`` jobs in the fullest stage a block stands for several, and it says so."""
    most = max((load.jobs for load in loads), default=0)
    per_block = max(1, math.ceil(most / limit))
    rows_up = max(1, math.ceil(most / (ROW * per_block)))
    top = 44.0
    bus = top + rows_up * (BLOCK_H + GAP) + 26
    column = (WIDTH - 96 - 30) / max(len(loads), 1)
    drawn = [pen.sun(42, bus, 11), pen.path(f"M68 {bus:g}H{WIDTH - 20:g}", INK, 4)]
    for index, load in enumerate(loads):
        centre = 96 + column * (index + 0.5)
        drawn.append(pen.path(f"M{centre - HALF:g} {bus - 10:g}v20M{centre + HALF:g} {bus - 10:g}v20", INK, SYMBOL))
        drawn.append(_stack(load, centre, bus - 20, per_block))
        used = math.ceil(load.jobs / (ROW * per_block))
        number_y = bus - 28 - used * (BLOCK_H + GAP)
        drawn.append(pen.words(centre, number_y, str(load.jobs), size=22, bold=True))
        for row, text in enumerate(pen.wrap(load.title, column - 6, 16)):
            drawn.append(pen.words(centre, bus + 34 + 18 * row, text, size=16, bold=True))
            bottom = bus + 34 + 18 * (row + 1)
        drawn.append(
            pen.words(centre, bottom, money(load.value_usd) if load.value_usd else "no price yet", size=15, colour=SOFT)
        )
        if load.late:
            drawn.append(pen.words(centre, bottom + 19, f"{load.late} late", size=15, colour=LIVE, bold=True))
    height = bus + 104
    legend = f"One block is {'a job' if per_block == 1 else f'{per_block} jobs'}; a slashed block is late."
    drawn.append(pen.words(WIDTH - 20, 20, legend, size=14, colour=SOFT, anchor="end"))
    spoken = "; ".join(f"{load.title}: {load.jobs} jobs, {load.late} late, {money(load.value_usd)}" for load in loads)
    return mark_safe(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {height:g}" role="img" '
        f'aria-label="{escape(spoken)}">{"".join(drawn)}</svg>'
    )


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
