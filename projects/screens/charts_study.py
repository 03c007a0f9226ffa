"""Two pictures of a study: the years' money as it adds up, and array against battery at equal reliability."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.safestring import SafeString

from projects.screens.charts import INK, LIVE, PAPER, RULE, SOFT, WASH, line, nice_step, svg, text


def cash_years(years: Sequence[Mapping[str, Any]], *, width: float = 660, height: float = 300) -> SafeString:
    """What has come in less what has gone out by the end of each year, the price or the down payment included."""
    sums = [float(year["cumulative_usd"]) for year in years]
    step = nice_step(max(max(sums), 0.0) - min(min(sums), 0.0))
    low, high = math.floor(min(*sums, 0.0) / step) * step, math.ceil(max(*sums, step) / step) * step
    left, right, top, bottom = 74.0, width - 18, 20.0, height - 44

    def at(year: float, usd: float) -> tuple[float, float]:
        across = (year - years[0]["year"]) / max(years[-1]["year"] - years[0]["year"], 1)
        return left + (right - left) * across, bottom - (bottom - top) * (usd - low) / (high - low)

    parts = []
    for n in range(round((high - low) / step) + 1):
        usd = low + n * step
        _, y = at(years[0]["year"], usd)
        parts.append(line([(left, y), (right, y)], width=2.2 if abs(usd) < 1 else 1, colour=INK if not usd else RULE))
        parts.append(text(left - 8, y + 4.5, _usd(usd), anchor="end", fill=SOFT))
    spots = [at(year["year"], usd) for year, usd in zip(years, sums, strict=True)]
    _, zero = at(years[0]["year"], 0.0)
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in [(spots[0][0], zero), *spots, (spots[-1][0], zero)]) + "Z"
    parts.insert(0, f'<path d="{path}" fill="{WASH}"/>')
    parts.append(line(spots, width=3))
    for year, (x, _) in zip(years, spots, strict=True):
        if year["year"] == 1 or year["year"] % 5 == 0:
            parts.append(text(x, bottom + 19, str(year["year"]), fill=SOFT))
    parts.append(text((left + right) / 2, bottom + 39, "years in service", fill=SOFT))
    words = f"Money after each year: {_usd(sums[0])} after the first, {_usd(sums[-1])} after {len(years)} years"
    return svg(width, height, words, parts)


def reliability_curve(
    points: Sequence[Mapping[str, Any]], drawn: tuple[float, float], *, width: float = 660, height: float = 300
) -> SafeString:
    """Array against the smallest battery that keeps the hours short within the bound; the design as a square."""
    left, right, top, bottom = 62.0, width - 24, 24.0, height - 46
    arrays = [point["array_kw"] for point in points] + [drawn[0]]
    batteries = [point["battery_kwh"] for point in points] + [drawn[1]]
    across_step, up_step = nice_step(max(arrays)), nice_step(max(batteries))
    widest = math.ceil(max(arrays) / across_step) * across_step
    tallest = math.ceil(max(batteries) * 1.05 / up_step) * up_step

    def at(array_kw: float, battery_kwh: float) -> tuple[float, float]:
        return left + (right - left) * array_kw / widest, bottom - (bottom - top) * battery_kwh / tallest

    parts = []
    for n in range(round(tallest / up_step) + 1):
        _, y = at(0, n * up_step)
        parts.append(line([(left, y), (right, y)], width=1 if n else 2.2, colour=RULE if n else INK))
        parts.append(text(left - 8, y + 4.5, f"{n * up_step:g}", anchor="end", fill=SOFT))
    for n in range(round(widest / across_step) + 1):
        x, _ = at(n * across_step, 0)
        parts.append(text(x, bottom + 19, f"{n * across_step:g}", fill=SOFT))
    parts.append(text(left - 8, top - 8, "kWh", anchor="end", fill=SOFT))
    parts.append(text((left + right) / 2, bottom + 39, "kW of modules", fill=SOFT))
    spots = [at(point["array_kw"], point["battery_kwh"]) for point in points]
    parts.append(line(spots, width=2.6))
    for point, (x, y) in zip(points, spots, strict=True):
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4.5" fill="{PAPER}" stroke="{INK}" stroke-width="2"/>')
        parts.append(text(x, y - 11, f"{point['battery_units']} ×", size=12.5, halo=True))
    x, y = at(*drawn)
    parts.append(
        f'<rect x="{x - 6:.1f}" y="{y - 6:.1f}" width="12" height="12" fill="{LIVE}" stroke="{PAPER}" '
        'stroke-width="2"/>'
    )
    parts.append(text(x, y + 22, "as drawn", fill=LIVE, weight=600, halo=True))
    words = "; ".join(f"{p['array_kw']:.1f} kW with {p['battery_kwh']:.1f} kWh" for p in points)
    return svg(width, height, f"Arrays and batteries of equal reliability: {words}", parts)


def _usd(usd: float) -> str:
    return f"−${-usd:,.0f}" if usd < 0 else f"${usd:,.0f}"
