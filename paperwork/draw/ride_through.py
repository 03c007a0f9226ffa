"""How many of a hundred outages are carried, by how long they last."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.draw.svg import ACCENT, RULE, SOFT, Drawing
from paperwork.spanish import voice

SHOWN_HOURS = (6, 12, 24, 48, 72, 120, 168, 336)


def ride_through_drawing(
    ride: Mapping[str, Any], *, width: float = 262, height: float = 92, language: str = "en"
) -> Drawing:
    """``ride``: the study's ride-through. Steps are drawn evenly, not to scale: they are what people ask about."""
    say = voice(language)
    shares = {int(hours): float(share) for hours, share in ride["share_by_hours"]}
    points = [(hours, shares[hours]) for hours in SHOWN_HOURS if hours in shares]
    drawing = Drawing(
        width,
        height,
        say(
            "Of 100 outages beginning at any hour of the year, carried to the end: "
            + ", ".join(f"{out_of_100(share)} that last {_length(hours)}" for hours, share in points)
            + "."
        ),
    )
    left, right, top, bottom = 12.0, width - 14.0, 14.0, height - 12.0

    def y(share: float) -> float:
        return bottom - share * (bottom - top)

    pitch = (right - left) / max(1, len(points) - 1)
    drawing.line((0, bottom), (width, bottom))
    drawing.lines([((0, y(share)), (width, y(share))) for share in (0.5, 1.0)], stroke=RULE, stroke_width=0.4)
    xs = [left + i * pitch for i in range(len(points))]
    line = [(x, y(share)) for x, (_, share) in zip(xs, points, strict=True)]
    drawing.polyline([(xs[0], bottom), *line, (xs[-1], bottom)], close=True, fill="#efe6dc", stroke="none")
    drawing.polyline(line, stroke=ACCENT, stroke_width=1.6)
    drawing.lines([((x, bottom), (x, bottom + 2)) for x in xs])
    for x, (hours, share) in zip(xs, points, strict=True):
        drawing.circle((x, y(share)), 2.1, fill="#ffffff", stroke=ACCENT, stroke_width=1.2)
        above = y(share) - 5
        drawing.text(
            x, above if share < 0.9 else y(share) - 5, out_of_100(share), size=7.5, weight=600, anchor="middle"
        )
        drawing.text(x, height - 3, say(_short(hours)), size=7, anchor="middle", fill=SOFT)
    return drawing


def out_of_100(share: float) -> str:
    """Never rounded up to 100 or down to 0."""
    value = share * 100
    if value >= 100:
        return "100"
    if value > 99:
        return "99"
    if 0 < value < 1:
        return "1"
    return str(int(value))


def _length(hours: int) -> str:
    return f"{hours} hours" if hours < 24 else ("1 day" if hours == 24 else f"{hours // 24} days")


def _short(hours: int) -> str:
    return f"{hours} h" if hours < 24 else ("1 day" if hours == 24 else f"{hours // 24} days")
