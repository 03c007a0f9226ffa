"""What the designs found cost and give: one panel for each thing they are weighed by, over the same prices."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString

from projects.screens.charts import INK, LIVE, PAPER, RULE, SOFT, line, nice_step, svg, text

GAP = 58.0
BADGE = 12.0


@dataclass(frozen=True)
class Panel:
    key: str
    """Of the design's figure."""
    title: str
    low: float
    high: float
    step: float
    percent: bool = True

    def words(self, value: float, digits: int = 0) -> str:
        if self.percent:
            return f"{value * 100:.{digits}f} %"
        return f"{value:g} {'day' if value == 1 else 'days'}"


def on_grid_panels(outages: str) -> list[Panel]:
    """``outages``: "2 days", or empty where the systems carry none."""
    bills = Panel("bill_offset", "share of the bills saved", 0.0, 1.0, 0.25)
    if not outages:
        return [bills]
    return [Panel("ride_through_share", f"share of outages of {outages} carried", 0.0, 1.0, 0.25), bills]


def off_grid_panels(designs: Sequence[Mapping[str, Any]]) -> list[Panel]:
    """Hours carried from the round tenth below the poorest design; days from none to those of the largest battery."""
    least = min(design["carried_share"] for design in designs)
    low = min(math.floor(least * 10) / 10, 0.9)
    most = max(design["autonomy_days"] for design in designs)
    step = nice_step(max(most, 1.0), 4)
    return [
        Panel("carried_share", "share of the year’s hours carried by sun and battery", low, 1.0, (1.0 - low) / 4),
        Panel("autonomy_days", "days without sun", 0.0, math.ceil(most / step) * step, step, percent=False),
    ]


def search_front(
    designs: Sequence[Mapping[str, Any]],
    marked: Mapping[int, str],
    *,
    wish: Mapping[str, Any],
    panels: Sequence[Panel],
    width: float = 960,
    panel: float = 230,
) -> SafeString:
    """``designs``: of the front, cheapest first; ``marked``: letters by place."""
    left, right, top = 58.0, width - 22, 34.0
    low, high, step = _prices([design["cost_usd"] for design in designs])

    def across(usd: float) -> float:
        return left + (right - left) * (usd - low) / (high - low)

    parts: list[str] = []
    bottom = top
    for n, one in enumerate(panels):
        upper = top + n * (panel + GAP)
        bottom = upper + panel
        parts += _panel(designs, marked, one, wish.get(one.key) or 0, across, (left, right, upper, bottom))
    limit = wish.get("most_usd")
    if limit and low <= limit <= high:
        x = across(limit)
        parts.append(line([(x, top - 4), (x, bottom)], width=2, colour=LIVE, dash="7 5"))
        parts.append(text(x - 6, top + 12, f"at most ${limit:,.0f}", anchor="end", fill=LIVE, weight=600, halo=True))
    usd = low
    while usd <= high + 1:
        parts.append(line([(across(usd), bottom), (across(usd), bottom + 5)], width=1.4))
        parts.append(text(across(usd), bottom + 20, f"${usd:,.0f}", fill=SOFT))
        usd += step
    parts.append(text((left + right) / 2, bottom + 42, "price, as estimated from the catalogue", fill=SOFT))
    told = "; ".join(
        f"{letter}: ${designs[at]['cost_usd']:,.0f}, "
        + ", ".join(f"{one.title} {one.words(round(designs[at][one.key], 3))}" for one in panels)
        for at, letter in marked.items()
        if at < len(designs)
    )
    return svg(width, bottom + 52, f"{len(designs)} designs that nothing cheaper beats. {told}", parts)


def _prices(costs: Sequence[float]) -> tuple[float, float, float]:
    """Round ends around the prices, and the step between marks."""
    step = nice_step(max(max(costs) - min(costs), max(costs) * 0.1), 6)
    low = math.floor(min(costs) / step) * step
    high = math.ceil((max(costs) + step * 0.1) / step) * step
    return low, max(high, low + step), step


def _panel(designs, marked, panel: Panel, wanted, across, box) -> list[str]:
    left, right, top, bottom = box
    key = panel.key

    def up(value: float) -> float:
        return bottom - (bottom - top) * min(max((value - panel.low) / (panel.high - panel.low), 0.0), 1.0)

    parts = [text(left, top - 12, panel.title, anchor="start", size=14.5, weight=600)]
    digits = 0 if panel.step * 100 % 1 < 1e-6 else 1
    for n in range(round((panel.high - panel.low) / panel.step) + 1):
        mark = panel.low + n * panel.step
        y = up(mark)
        parts.append(line([(left, y), (right, y)], width=1 if n else 2, colour=RULE if n else INK))
        parts.append(text(left - 8, y + 4.5, panel.words(round(mark, 6), digits), anchor="end", fill=SOFT))
    if wanted > panel.low:
        y = up(wanted)
        parts.append(line([(left, y), (right, y)], width=2, colour=LIVE, dash="7 5"))
        parts.append(
            text(left + 4, y - 6, f"wished: {panel.words(wanted)}", anchor="start", fill=LIVE, weight=600, halo=True)
        )
    for at, design in enumerate(designs):
        if at not in marked:
            x, y = across(design["cost_usd"]), up(design[key])
            parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="{PAPER}" stroke="{INK}" stroke-width="1.6"/>')
    for at, letter in marked.items():
        x, y = across(designs[at]["cost_usd"]), up(designs[at][key])
        # Letters stand off their points, the dearer one's to the right: the two may lie side by side.
        aside = BADGE * 1.6 if letter == "B" else -BADGE * 1.6
        away = BADGE * 2.2
        parts.append(line([(x, y), (x + aside, y + away)], width=1.4))
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5" fill="{INK}"/>')
        parts.append(f'<circle cx="{x + aside:.1f}" cy="{y + away:.1f}" r="{BADGE:g}" fill="{INK}"/>')
        parts.append(text(x + aside, y + away + 5, letter, size=14, fill=PAPER, weight=600))
    return parts
