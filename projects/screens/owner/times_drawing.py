"""The owner's charts of time, in ink: who still waits after how long, medians with their limits, dates as ranges."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from projects.route.forecast.predict import DateRange
from projects.route.forecast.survival import Curve
from projects.screens.charts import INK, LIVE, PAPER, RULE, SOFT, WASH, line, text

DASHES = ("", "9 5", "2 5", "12 4 2 4", "5 3")
BAR_WIDTH, BAR_HEIGHT = 420.0, 34.0


def waiting_curves(series: Sequence[tuple[str, Curve]], *, width: float = 660, height: float = 340) -> SafeString:
    """Share of jobs still waiting by days; the first series bold, with its 95 % limits shaded. A tick on a curve is a
    job that still waits."""
    left, right, top, bottom = 54.0, width - 16, 58.0, height - 44
    longest = max([curve.longest_days for _, curve in series] + [7.0])
    step = nice_step(longest)
    most = math.ceil(longest / step) * step

    def at(day: float, share: float) -> tuple[float, float]:
        return (left + (right - left) * day / most, bottom - (bottom - top) * share)

    parts = []
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        _, y = at(0, share)
        parts.append(line([(left, y), (right, y)], width=1 if share else 2, colour=RULE if share else INK))
        parts.append(text(left - 8, y + 4.5, f"{share * 100:.0f} %", anchor="end", fill=SOFT))
    for n in range(round(most / step) + 1):
        x, _ = at(n * step, 0)
        parts.append(line([(x, bottom), (x, bottom + 5)], width=1.4))
        parts.append(text(x, bottom + 20, f"{n * step:g}", fill=SOFT))
    parts.append(text((left + right) / 2, bottom + 38, "days", fill=SOFT))
    if series and series[0][1].days:
        parts.append(_band(series[0][1], at))
    legend_x, legend_y = left, 14.0
    for number, (name, curve) in enumerate(series):
        weight, dash = (3.2, "") if number == 0 else (1.9, DASHES[number % len(DASHES)])
        colour = INK if number == 0 else LIVE if number == 1 else SOFT
        spots = _steps(curve)
        parts.append(line([at(*spot) for spot in spots], width=weight, colour=colour, dash=dash))
        for day in curve.waiting_at:
            x, y = at(day, curve.share_waiting(day))
            parts.append(line([(x, y - 5), (x, y + 5)], width=1.3, colour=colour))
        room = 52 + len(name) * 7.1
        if legend_x + room > right and legend_x > left:
            legend_x, legend_y = left, legend_y + 20
        parts.append(line([(legend_x, legend_y), (legend_x + 28, legend_y)], width=weight, colour=colour, dash=dash))
        parts.append(text(legend_x + 35, legend_y + 4.5, name, anchor="start", size=13.5, weight=600, fill=colour))
        legend_x += room
    words = "; ".join(
        f"{name}: half have left after {curve.median_days:g} days" if curve.median_days is not None
        else f"{name}: fewer than half have left so far"
        for name, curve in series
    )  # fmt: skip
    return _drawn(width, height, f"Share of jobs still waiting by days. {words}", parts)


def medians(rows: Sequence[tuple[str, Curve]], *, width: float = 660) -> SafeString:
    """One line a leg: the median as a dot, its 95 % limits as a whisker, an arrow where the limit isn't known yet."""
    row_height, left, right = 30.0, 250.0, width - 40
    height = len(rows) * row_height + 44
    ends = [value for _, curve in rows for value in (curve.median_days, *curve.median_limits) if value is not None]
    step = nice_step(max([*ends, 7.0]))
    most = math.ceil(max([*ends, 7.0]) / step) * step

    def x_of(day: float) -> float:
        return left + (right - left) * day / most

    parts = []
    for n in range(round(most / step) + 1):
        x = x_of(n * step)
        parts.append(line([(x, 6), (x, height - 34)], width=1, colour=RULE))
        parts.append(text(x, height - 16, f"{n * step:g}", fill=SOFT))
    parts.append(text(right + 8, height - 16, "days", anchor="start", fill=SOFT))
    for number, (name, curve) in enumerate(rows):
        y = 8 + row_height * (number + 0.5)
        parts.append(text(left - 14, y + 5, name, anchor="end", size=14.5, weight=600))
        median, (low, high) = curve.median_days, curve.median_limits
        if not curve.days:
            parts.append(text(left + 8, y + 5, "nobody through yet", anchor="start", fill=SOFT))
            continue
        if median is None:
            parts.append(text(left + 8, y + 5, "fewer than half through", anchor="start", fill=SOFT))
            continue
        start, end = x_of(low if low is not None else 0), x_of(high) if high is not None else right
        parts.append(line([(start, y), (end, y)], width=2.2))
        parts.append(line([(start, y - 6), (start, y + 6)], width=2.2))
        if high is None:
            parts.append(line([(end - 7, y - 5), (end, y), (end - 7, y + 5)], width=2.2))
        else:
            parts.append(line([(end, y - 6), (end, y + 6)], width=2.2))
        parts.append(
            f'<circle cx="{x_of(median):.1f}" cy="{y:.1f}" r="6" fill="{LIVE}" stroke="{PAPER}" stroke-width="1.5"/>'
        )
    known = "; ".join(f"{name} {c.median_days:g}" for name, c in rows if c.median_days is not None)
    return _drawn(width, height, f"Median days per leg: {known}", parts)


class Calendar:
    """A common axis of dates for many small bars. ``first`` and ``last`` are stretched to whole months."""

    def __init__(self, today: date, last: date) -> None:
        self.today = self.first = today
        self.last = max(last, today + timedelta(days=28))

    def x(self, day: date) -> float:
        share = (day - self.first).days / (self.last - self.first).days
        return 6 + (BAR_WIDTH - 12) * min(max(share, 0.0), 1.0)

    def months(self) -> list[date]:
        found, month = [], self.first.replace(day=1)
        while month <= self.last:
            month = (month + timedelta(days=32)).replace(day=1)
            if month <= self.last:
                found.append(month)
        every = max(1, math.ceil(len(found) / 7))
        return found[::every]

    def axis(self) -> SafeString:
        parts = [text(self.x(self.first), 14, "today", anchor="start", fill=SOFT, size=13)]
        for month in self.months():
            if self.x(month) > 64:
                parts.append(text(self.x(month), 14, f"{month:%b}", fill=SOFT, size=13))
        return _drawn(BAR_WIDTH, 19, "", parts)

    def bars(self, installation: DateRange | None, operation: DateRange | None) -> SafeString:
        """Installation hollow above, operation solid below: thin for 90 %, thick for 50 %, a stroke at the middle."""
        parts = [line([(self.x(m), 0), (self.x(m), BAR_HEIGHT)], width=1, colour=RULE) for m in self.months()]
        for found, y, fill in ((installation, 9.0, PAPER), (operation, 25.0, INK)):
            if found is None:
                continue
            parts.append(line([(self.x(found.low90), y), (self.x(found.high90), y)], width=1.6))
            wide = max(self.x(found.high50) - self.x(found.low50), 2.0)
            parts.append(
                f'<rect x="{self.x(found.low50):.1f}" y="{y - 5:.1f}" width="{wide:.1f}" height="10" fill="{fill}" '
                f'stroke="{INK}" stroke-width="1.6"/>'
            )
            middle = self.x(found.middle)
            parts.append(line([(middle, y - 7), (middle, y + 7)], width=2.6, colour=LIVE))
        return _drawn(BAR_WIDTH, BAR_HEIGHT, "", parts)


def nice_step(most: float) -> float:
    """1, 2, 5, 7 (a week) and so on: about six steps up to ``most``."""
    steps = (1, 2, 5, 7, 14, 30, 60, 90, 180, 365)
    return next((float(step) for step in steps if most / step <= 7), 730.0)


def _steps(curve: Curve) -> list[tuple[float, float]]:
    spots, share = [(0.0, 1.0)], 1.0
    for day, waiting in zip(curve.days, curve.waiting, strict=True):
        spots += [(day, share), (day, waiting)]
        share = waiting
    spots.append((curve.longest_days, share))
    return spots


def _band(curve: Curve, at) -> str:
    upper, lower, high, low = [(0.0, 1.0)], [(0.0, 1.0)], 1.0, 1.0
    for day, next_low, next_high in zip(curve.days, curve.low, curve.high, strict=True):
        upper += [(day, high), (day, next_high)]
        lower += [(day, low), (day, next_low)]
        low, high = next_low, next_high
    upper.append((curve.longest_days, high))
    lower.append((curve.longest_days, low))
    outline = [at(*spot) for spot in [*upper, *reversed(lower)]]
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in outline) + "Z"
    return f'<path d="{path}" fill="{WASH}"/>'


def _drawn(width: float, height: float, words: str, parts: list[str]) -> SafeString:
    """Without words the drawing repeats what its row says, and is hidden from those who listen."""
    told = f'role="img" aria-label="{escape(words)}"' if words else 'aria-hidden="true"'
    return mark_safe(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" {told}>{"".join(parts)}</svg>'
    )
