"""What the designs found cost and give: one panel for outages carried, one for bills saved, over the same prices."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.safestring import SafeString

from projects.screens.charts import INK, LIVE, PAPER, RULE, SOFT, line, nice_step, svg, text

GAP = 58.0
BADGE = 12.0


def search_front(
    designs: Sequence[Mapping[str, Any]],
    marked: Mapping[int, str],
    *,
    wish: Mapping[str, Any],
    outages: str,
    width: float = 960,
    panel: float = 230,
) -> SafeString:
    """``designs``: of the front, cheapest first; ``marked``: letters by place; ``outages``: "outage of 2 days", or
    empty where the systems carry none.
    """
    kinds = [("bill_offset", "of the bills saved", wish.get("bill_offset") or 0)]
    if outages:
        kinds.insert(0, ("ride_through_share", f"of outages of {outages} carried", wish.get("ride_through_share") or 0))
    left, right, top = 58.0, width - 22, 34.0
    low, high, step = _prices([design["cost_usd"] for design in designs])

    def across(usd: float) -> float:
        return left + (right - left) * (usd - low) / (high - low)

    parts: list[str] = []
    bottom = top
    for n, (key, words, wanted) in enumerate(kinds):
        upper = top + n * (panel + GAP)
        bottom = upper + panel
        parts += _panel(designs, marked, key, words, wanted, across, (left, right, upper, bottom))
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
        f"{letter}: ${designs[at]['cost_usd']:,.0f}, {designs[at]['bill_offset']:.0%} of the bills, "
        f"{designs[at]['ride_through_share']:.0%} of outages"
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


def _panel(designs, marked, key, title, wanted, across, box) -> list[str]:
    left, right, top, bottom = box

    def up(share: float) -> float:
        return bottom - (bottom - top) * min(max(share, 0.0), 1.0)

    parts = [text(left, top - 12, f"share {title}", anchor="start", size=14.5, weight=600)]
    for n in range(0, 101, 25):
        y = up(n / 100)
        parts.append(line([(left, y), (right, y)], width=1 if n else 2, colour=RULE if n else INK))
        parts.append(text(left - 8, y + 4.5, f"{n} %", anchor="end", fill=SOFT))
    if wanted > 0:
        y = up(wanted)
        parts.append(line([(left, y), (right, y)], width=2, colour=LIVE, dash="7 5"))
        parts.append(
            text(left + 4, y - 6, f"wished: {wanted * 100:.0f} %", anchor="start", fill=LIVE, weight=600, halo=True)
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
