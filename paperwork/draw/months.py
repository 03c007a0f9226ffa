"""Production and use, month by month: filled bars for what the sun makes, open bars for what the house uses."""

from __future__ import annotations

import math
from collections.abc import Sequence

from paperwork.draw.svg import ACCENT, INK, RULE, SOFT, Drawing
from paperwork.spanish import voice
from paperwork.words import MONTHS_EN, MONTHS_ES, whole


def scale_top(largest: float, steps: int = 4) -> tuple[float, float]:
    """(top of the axis, step): a round step of 1, 2, 2.5 or 5 times a power of ten, at most ``steps`` of them."""
    if largest <= 0:
        return 1.0, 1.0
    power = math.floor(math.log10(largest)) - 1
    step = next(
        base * 10.0 ** (power + more)
        for more in range(4)
        for base in (1.0, 2.0, 2.5, 5.0)
        if base * 10.0 ** (power + more) * steps >= largest
    )
    return step * math.ceil(largest / step - 1e-9), step


def months_drawing(
    made: Sequence[float], used: Sequence[float], *, width: float = 262, height: float = 118, language: str = "en"
) -> Drawing:
    """``made`` and ``used``: twelve kWh each, January first."""
    if len(made) != 12 or len(used) != 12:
        raise ValueError("twelve months each")
    say = voice(language)
    names = MONTHS_ES if language == "es" else MONTHS_EN
    best = max(range(12), key=lambda m: made[m])
    least = min(range(12), key=lambda m: made[m])
    drawing = Drawing(
        width,
        height,
        say(
            f"Bar chart: the panels make {whole(sum(made))} kWh in a year and the house uses {whole(sum(used))} kWh. "
            f"Most is made in {MONTHS_EN[best]} ({whole(made[best])} kWh), least in {MONTHS_EN[least]} "
            f"({whole(made[least])} kWh)."
        ),
    )
    left, top, bottom = 28.0, 17.0, height - 13.0
    limit, step = scale_top(max(*made, *used))
    per_kwh = (bottom - top) / limit
    ticks = round(limit / step)
    levels = [bottom - i * step * per_kwh for i in range(ticks + 1)]
    drawing.lines([((left, y), (width, y)) for y in levels[1:]], stroke=RULE, stroke_width=0.4)
    drawing.line((left, bottom), (width, bottom))
    for i, y in enumerate(levels):
        drawing.text(left - 4, y + 2.4, whole(i * step), size=7, anchor="end", fill=SOFT)
    drawing.rect(left, 2, 7, 7, fill=ACCENT, stroke=ACCENT)
    end = drawing.text(left + 10, 8.4, say("made by the panels"), size=7.5).x1
    drawing.rect(end + 12, 2, 7, 7, fill="#ffffff", stroke=INK)
    drawing.text(end + 22, 8.4, say("used by the house"), size=7.5)
    drawing.text(width, 8.4, say("kWh in a month"), size=7, anchor="end", fill=SOFT)
    pitch = (width - left) / 12
    bar = pitch * 0.36
    xs = [left + m * pitch + (pitch - 2 * bar) / 2 for m in range(12)]
    high = [(kwh * per_kwh, used_kwh * per_kwh) for kwh, used_kwh in zip(made, used, strict=True)]
    filled = [(x, bottom - tall, bar, tall) for x, (tall, _) in zip(xs, high, strict=True)]
    drawing.rects(filled, fill=ACCENT, stroke=ACCENT)
    opened = [(x + bar, bottom - tall, bar, tall) for x, (_, tall) in zip(xs, high, strict=True)]
    drawing.rects(opened, fill="#ffffff", stroke=INK)
    for x, name in zip(xs, names, strict=True):
        drawing.text(x + bar, height - 4, name[:3], size=7, anchor="middle")
    return drawing
