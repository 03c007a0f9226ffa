"""Charts as ink drawings: plain SVG with presentation attributes alone, the same on a screen and on paper.

Each function takes plain numbers and returns a whole ``<svg>`` with its meaning in words for those who can't see it.
Series differ by filling and line, never by colour alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

INK, SOFT, RULE, LIVE, PAPER, WASH = "#1d2733", "#55606c", "#cfc6b0", "#a83f16", "#fcf9f1", "#f3e3d3"
FONT = "'Barlow Semi Condensed', 'Arial Narrow', sans-serif"
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
Pairs = Sequence[Sequence[float]]


def text(
    x: float,
    y: float,
    words: str,
    *,
    size: float = 13,
    anchor: str = "middle",
    fill: str = INK,
    weight: int = 500,
    halo: bool = False,
) -> str:
    around = f' stroke="{PAPER}" stroke-width="4" paint-order="stroke" stroke-linejoin="round"' if halo else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="{fill}" '
        f'font-family="{FONT}" font-weight="{weight}"{around}>{escape(words)}</text>'
    )


def line(points: Pairs, *, width: float = 2, colour: str = INK, dash: str = "", close: bool = False) -> str:
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + ("Z" if close else "")
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{width:g}" stroke-linejoin="round" '
        f'stroke-linecap="round"{dashed}/>'
    )


def svg(width: float, height: float, words: str, parts: list[str]) -> SafeString:
    inner = "".join(parts)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" role="img" '
        f'aria-label="{escape(words)}">'
    )
    return mark_safe(f"{head}{inner}</svg>")


def hatch(name: str, colour: str = INK, gap: float = 6, width: float = 1.3, ground: str = "none") -> str:
    return (
        f'<pattern id="{name}" width="{gap:g}" height="{gap:g}" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate(45)"><rect width="{gap:g}" height="{gap:g}" fill="{ground}"/>'
        f'<path d="M0 0V{gap:g}" stroke="{colour}" stroke-width="{width:g}"/></pattern>'
    )


def nice_step(largest: float, steps: int = 4) -> float:
    """A round distance between grid lines: 1, 2, 2.5 or 5 times a power of ten."""
    if largest <= 0:
        return 1.0
    raw = largest / steps
    power = 10.0 ** math.floor(math.log10(raw))
    return next(power * m for m in (1, 2, 2.5, 5, 10) if power * m >= raw * 0.999)


def ruled(left: float, right: float, top: float, bottom: float, largest: float, unit: str) -> tuple[list[str], float]:
    """Horizontal rules with their values; returns them and the value at the top."""
    step = nice_step(largest)
    lines = max(1, math.ceil(largest / step - 1e-9))
    parts = []
    for n in range(lines + 1):
        y = bottom - (bottom - top) * n / lines
        parts.append(line([(left, y), (right, y)], width=1 if n else 2, colour=RULE if n else INK))
        parts.append(text(left - 8, y + 4.5, f"{n * step:,.10g}", anchor="end", fill=SOFT))
    parts.append(text(left - 8, top - 12, unit, anchor="end", fill=SOFT))
    return parts, step * lines


def paired_months(
    solid: Sequence[float],
    open_: Sequence[float],
    *,
    solid_name: str,
    open_name: str,
    unit: str,
    width: float = 660,
    height: float = 360,
    level: float | None = None,
    level_name: str = "",
) -> SafeString:
    """Twelve pairs of bars, one solid and one hatched; ``level``: a line across (a loan payment)."""
    left, right, top, bottom = 58.0, width - 10, 46.0, height - 28
    largest = max([*solid, *open_, level or 0, 0.001])
    grid, most = ruled(left, right, top, bottom, largest, unit)
    parts = [f"<defs>{hatch('open-bars')}</defs>", *grid]
    slot = (right - left) / 12
    bar = slot * 0.36
    for n, month in enumerate(MONTHS):
        middle = left + slot * (n + 0.5)
        for value, at, fill in ((solid[n], middle - bar - 1, INK), (open_[n], middle + 1, "url(#open-bars)")):
            tall = max(0.0, (bottom - top) * value / most)
            parts.append(
                f'<rect x="{at:.1f}" y="{bottom - tall:.1f}" width="{bar:.1f}" height="{tall:.1f}" fill="{fill}" '
                f'stroke="{INK}" stroke-width="1.3"/>'
            )
        parts.append(text(middle, bottom + 19, month, fill=SOFT))
    if level is not None:
        y = bottom - (bottom - top) * level / most
        parts.append(line([(left, y), (right, y)], width=2, colour=LIVE, dash="7 5"))
        parts.append(text(right - 4, y - 7, level_name, anchor="end", fill=LIVE, weight=600, halo=True))
    x = left
    for name, fill in ((solid_name, INK), (open_name, "url(#open-bars)")):
        parts.append(
            f'<rect x="{x:.1f}" y="9" width="15" height="15" fill="{fill}" stroke="{INK}" stroke-width="1.3"/>'
        )
        parts.append(text(x + 22, 21.5, name, anchor="start", size=14, weight=600))
        x += 40 + len(name) * 7.4
    words = "; ".join(f"{m} {solid[n]:,.0f} and {open_[n]:,.0f}" for n, m in enumerate(MONTHS))
    return svg(width, height, f"{solid_name} and {open_name} by month in {unit}: {words}", parts)


def sun_path(
    arcs: Sequence[tuple[str, Pairs]],
    silhouettes: Sequence[tuple[str, Pairs]],
    hour_marks: Sequence[tuple[str, Pairs]],
    *,
    width: float = 660,
    height: float = 380,
) -> SafeString:
    """The sky from the middle of the array: the sun's way at the solstices and equinoxes, and what hides it."""
    southern = _noon_in_north(arcs)

    def turn(azimuth: float) -> float:
        return (azimuth + 180) % 360 - 180 if southern else azimuth

    low, high = (-120.0, 120.0) if southern else (60.0, 300.0)
    above = [(turn(a), e) for _, points in arcs for a, e in points if e > 0]
    if above:
        low = min(low, math.floor(min(a for a, _ in above) / 15) * 15)
        high = max(high, math.ceil(max(a for a, _ in above) / 15) * 15)
    peak = max([e for _, e in above] + [45.0])
    ceiling = min(90.0, math.ceil((peak + 4) / 15) * 15)
    left, right, top, bottom = 46.0, width - 14, 20.0, height - 34

    def at(azimuth: float, elevation: float) -> tuple[float, float]:
        across = (min(max(azimuth, low), high) - low) / (high - low)
        return (left + (right - left) * across, bottom - (bottom - top) * min(elevation, ceiling) / ceiling)

    parts = [f"<defs>{hatch('shade', ground=WASH, gap=7)}</defs>"]
    for elevation in range(0, int(ceiling) + 1, 15):
        _, y = at(low, elevation)
        parts.append(line([(left, y), (right, y)], width=1, colour=RULE))
        parts.append(text(left - 7, y + 4.5, f"{elevation}°", anchor="end", fill=SOFT))
    for azimuth in range(int(math.ceil(low / 30) * 30), int(high) + 1, 30):
        x, _ = at(azimuth, 0)
        parts.append(line([(x, top), (x, bottom)], width=1, colour=RULE))
        parts.append(text(x, bottom + 18, _points_of_compass(azimuth), fill=SOFT))
    for name, outline in silhouettes:
        parts += _silhouette(name, [(turn(a), e) for a, e in outline], at, (low, high))
    for label, points in hour_marks:
        spots = [at(turn(a), e) for a, e in points if e > 0]
        if len(spots) > 1:
            parts.append(line(spots, width=1, colour=SOFT, dash="1 4"))
        if spots:
            x, y = min(spots, key=lambda spot: spot[1])
            parts.append(text(x, y - 7, label, size=11.5, fill=SOFT, halo=True))
    for (name, points), weight in zip(arcs, (2.6, 1.8, 2.6), strict=False):
        spots = [at(turn(a), e) for a, e in points if e >= 0]
        if len(spots) > 1:
            parts.append(line(spots, width=weight))
            x, y = spots[len(spots) // 2]
            parts.append(text(x, y + 17, name, size=13.5, weight=600, halo=True))
    parts.append(line([(left, bottom), (right, bottom)], width=2.4))
    hidden = ", ".join(name for name, _ in silhouettes) or "nothing"
    days = ", ".join(name for name, _ in arcs)
    return svg(width, height, f"The sun’s way over the sky ({days}); in its way: {hidden}", parts)


def _noon_in_north(arcs: Sequence[tuple[str, Pairs]]) -> bool:
    highest = [max(points, key=lambda p: p[1]) for _, points in arcs if points]
    return sum(1 for azimuth, _ in highest if math.cos(math.radians(azimuth)) > 0) > len(highest) / 2


def _points_of_compass(azimuth: float) -> str:
    names = {0: "north", 90: "east", 180: "south", 270: "west"}
    return names.get(int(azimuth) % 360, f"{int(azimuth) % 360}°")


def _silhouette(name: str, outline: list[tuple[float, float]], at, limits: tuple[float, float]) -> list[str]:
    inside = [spot for spot in outline if limits[0] <= spot[0] <= limits[1]]
    if not inside:
        return []
    spots = [at(a, max(e, 0)) for a, e in outline]
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in spots) + "Z"
    drawn = f'<path d="{path}" fill="url(#shade)" stroke="{INK}" stroke-width="1.8" stroke-linejoin="round"/>'
    middle = sum(x for x, _ in spots) / len(spots)
    top = min(y for _, y in spots)
    return [drawn, text(middle, top - 6, name, size=12.5, weight=600, halo=True)]


def ride_through_curve(
    share_by_hours: Sequence[tuple[int, float]], wanted_hours: float, *, width: float = 660, height: float = 300
) -> SafeString:
    """Of all outages that could begin in the year: the share that is carried for at least so long."""
    left, right, top, bottom = 54.0, width - 24, 30.0, height - 46
    first, last = share_by_hours[0][0], share_by_hours[-1][0]

    def at(hours: float, share: float) -> tuple[float, float]:
        across = math.log(max(hours, first) / first) / math.log(last / first) if last > first else 0
        return (left + (right - left) * min(across, 1), bottom - (bottom - top) * share)

    parts = []
    for n in range(0, 101, 25):
        _, y = at(first, n / 100)
        parts.append(line([(left, y), (right, y)], width=1 if n else 2, colour=RULE if n else INK))
        parts.append(text(left - 8, y + 4.5, f"{n} %", anchor="end", fill=SOFT))
    spots = [at(hours, share) for hours, share in share_by_hours]
    area = [*spots, (spots[-1][0], bottom), (spots[0][0], bottom)]
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in area) + "Z"
    parts.append(f'<path d="{path}" fill="{WASH}"/>')
    if first <= wanted_hours <= last:
        x, _ = at(wanted_hours, 0)
        parts.append(line([(x, top - 8), (x, bottom)], width=2, colour=LIVE, dash="7 5"))
        anchor = "end" if x > width * 0.7 else "start"
        parts.append(
            text(
                x + (7 if anchor == "start" else -7),
                (top + bottom) / 2,
                f"wanted: {duration(wanted_hours)}",
                anchor=anchor,
                fill=LIVE,
                weight=600,
                halo=True,
            )
        )
    parts.append(line(spots, width=3))
    for (hours, share), (x, y) in zip(share_by_hours, spots, strict=True):
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4.5" fill="{PAPER}" stroke="{INK}" stroke-width="2"/>')
        parts.append(text(x, bottom + 19, duration(hours), fill=SOFT))
        if x > left + 20:
            parts.append(text(x, y - 10, f"{share:.0%}".replace("%", " %"), size=12.5, halo=True))
    parts.append(text((left + right) / 2, bottom + 39, "length of the outage", fill=SOFT))
    words = "; ".join(f"{duration(hours)}: {share:.0%}" for hours, share in share_by_hours)
    return svg(width, height, f"Share of outages carried, by length: {words}", parts)


def duration(hours: float) -> str:
    """``6 h``, ``1 day``, ``3 days``."""
    if hours < 24:
        return f"{hours:g} h"
    days = hours / 24
    return "1 day" if days == 1 else f"{days:.3g} days"


def charge_traces(
    traces: Sequence[tuple[str, int, Sequence[float]]], *, width: float = 560, height: float = 250
) -> SafeString:
    """(label, hours carried, state of charge at each hour's end): the battery through an outage."""
    left, right, top, bottom = 54.0, width - 24, 36.0, height - 44
    longest = max((len(charge) for _, _, charge in traces), default=24) or 24
    shown = min(longest, 24 * 14)

    def at(hour: float, charge: float) -> tuple[float, float]:
        return (left + (right - left) * hour / shown, bottom - (bottom - top) * min(max(charge, 0), 1))

    parts = []
    for n in range(0, 101, 25):
        _, y = at(0, n / 100)
        parts.append(line([(left, y), (right, y)], width=1 if n else 2, colour=RULE if n else INK))
        parts.append(text(left - 8, y + 4.5, f"{n} %", anchor="end", fill=SOFT))
    every = 24 if shown <= 24 * 7 else 48
    for hour in range(0, shown + 1, every):
        x, _ = at(hour, 0)
        parts.append(line([(x, bottom), (x, bottom + 5)], width=1.4))
        parts.append(text(x, bottom + 20, f"{hour // 24} d", fill=SOFT))
    looks = {"worst": (LIVE, 2.6, "7 5"), "median": (INK, 2.8, ""), "best": (INK, 1.3, "2 4")}
    x = left
    for label, hours, charge in traces:
        colour, weight, dash = looks.get(label, (SOFT, 1.5, ""))
        spots = [at(0, charge[0] if charge else 1), *(at(n + 1, c) for n, c in enumerate(charge[:shown]))]
        parts.append(line(spots, width=weight, colour=colour, dash=dash))
        parts.append(line([(x, 15), (x + 30, 15)], width=weight, colour=colour, dash=dash))
        name = f"{label}: {duration(hours)}"
        parts.append(text(x + 37, 19.5, name, anchor="start", size=13.5, weight=600, fill=colour))
        x += 60 + len(name) * 7.2
    words = "; ".join(f"{label} {duration(hours)}" for label, hours, _ in traces)
    return svg(width, height, f"Battery charge through an outage: {words}", parts)


def access_strip(fractions: Sequence[float], *, name: str, width: float = 420, height: float = 74) -> SafeString:
    """Twelve columns: the share of the open sky's energy that reaches the plane in each month."""
    slot = width / 12
    bottom = height - 20
    parts: list[str] = []
    for n, fraction in enumerate(fractions):
        x, tall = n * slot, (bottom - 16) * min(max(fraction, 0), 1)
        parts.append(
            f'<rect x="{x + 2:.1f}" y="16" width="{slot - 4:.1f}" height="{bottom - 16:.1f}" fill="none" '
            f'stroke="{RULE}" stroke-width="1"/>'
            f'<rect x="{x + 2:.1f}" y="{bottom - tall:.1f}" width="{slot - 4:.1f}" height="{tall:.1f}" fill="{INK}"/>'
        )
        parts.append(text(x + slot / 2, 12, f"{fraction * 100:.0f}", size=11.5, fill=INK))
        parts.append(text(x + slot / 2, height - 5, MONTHS[n][0], size=11.5, fill=SOFT))
    words = ", ".join(f"{MONTHS[n]} {fraction:.0%}" for n, fraction in enumerate(fractions))
    return svg(width, height, f"Sun reaching {name} by month: {words}", parts)
