"""The sky as the panels see it: the sun's paths through the year and what stands before them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from paperwork.draw.svg import ACCENT, INK, RULE, SOFT, Drawing, Point, thinned
from paperwork.spanish import voice

SILHOUETTE = "#9aa0a6"
COMPASS = ((0, "N"), (45, "NE"), (90, "E"), (135, "SE"), (180, "S"), (225, "SW"), (270, "W"), (315, "NW"), (360, "N"))


def unrolled(points: Sequence[Sequence[float]]) -> list[Point]:
    """Azimuths without the jump at north, so that an outline across it stays in one piece."""
    out: list[Point] = []
    for azimuth, elevation in points:
        if out:
            while azimuth - out[-1][0] > 180:
                azimuth -= 360
            while azimuth - out[-1][0] < -180:
                azimuth += 360
        out.append((float(azimuth), float(elevation)))
    return out


def sun_path_drawing(
    sun_path: Mapping[str, Any],
    *,
    southern: bool = False,
    width: float = 262,
    height: float = 118,
    language: str = "en",
) -> Drawing:
    """``sun_path``: as in the study's result. ``southern``: the view is centred on north instead of south."""
    say = voice(language)
    shapes = [(name, unrolled(outline)) for name, outline in sun_path["silhouettes"] if len(outline) > 2]
    drawing = Drawing(
        width,
        height,
        say(
            "The sky from the middle of the array. Three curves show the sun's path in midsummer, spring and autumn, "
            "and midwinter. "
            + (
                f"Grey shapes that stand before the sun: {', '.join(name for name, _ in shapes)}."
                if shapes
                else "Nothing recorded stands before the sun."
            )
        ),
    )
    centre = 0.0 if southern else 180.0
    arcs = [(name, [p for p in _around(unrolled(points), centre) if p[1] >= 0]) for name, points in sun_path["arcs"]]
    reach = max((abs(azimuth - centre) for _, points in arcs for azimuth, _ in points), default=90.0)
    reach = min(180.0, max(75.0, reach + 6))
    highest = max((elevation for _, points in arcs for _, elevation in points), default=60.0)
    ceiling = min(96.0, max(45.0, highest + 9))
    left, right, top, bottom = 0.0, width, 3.0, height - 12.0

    def place(p: Sequence[float]) -> Point:
        azimuth, elevation = p
        return (
            (left + right) / 2 + (azimuth - centre) / reach * (right - left) / 2,
            bottom - max(0.0, min(elevation, ceiling)) / ceiling * (bottom - top),
        )

    levels = [place((centre, elevation))[1] for elevation in range(0, int(ceiling), 15)]
    drawing.lines([((left, y), (right, y)) for y in levels], stroke=RULE, stroke_width=0.4)
    hours = []
    for label, points in sun_path["hour_marks"]:
        marks = [place(p) for p in _around(unrolled(points), centre) if p[1] >= 0 and abs(p[0] - centre) <= reach]
        if len(marks) > 1:
            hours.append(marks)
            if label in _HOURS_NAMED:
                x, y = min(marks, key=lambda p: p[1])
                side = (x - (left + right) / 2) / ((right - left) / 2)
                anchor = "end" if side < -0.1 else "start" if side > 0.1 else "middle"
                drawing.text(
                    x + 16 * max(-0.25, min(0.25, side)),
                    y - 3,
                    say(_HOURS_NAMED[label]),
                    size=7,
                    anchor=anchor,
                    fill=SOFT,
                )
    drawing.polylines(hours, stroke=SOFT, stroke_width=0.5, stroke_dasharray="1.2 1.8")
    for i, (_, points) in enumerate(arcs):
        drawing.polyline(thinned(map(place, points)), stroke=ACCENT, stroke_width=1.5 if i != 1 else 1.1)
    for _, outline in shapes:
        for turn in (-360, 0, 360):
            moved = [(azimuth + turn, elevation) for azimuth, elevation in outline]
            if any(abs(azimuth - centre) <= reach for azimuth, _ in moved):
                clipped = [(max(centre - reach, min(centre + reach, azimuth)), e) for azimuth, e in moved]
                drawing.polyline(map(place, clipped), close=True, fill=SILHOUETTE, stroke=INK, stroke_width=0.7)
    for name, points in arcs:
        if points:
            peak = max(points, key=lambda p: p[1])
            x, y = place((centre, peak[1]))
            drawing.text(x, y + 8.2, say(name), size=7, weight=600, anchor="middle", halo=True)
    drawing.line((left, bottom), (right, bottom), stroke_width=1.2)
    ticks = []
    for azimuth, letter in COMPASS:
        for turn in (-360, 0):
            if abs(azimuth + turn - centre) < reach - 4:
                x, _ = place((azimuth + turn, 0))
                ticks.append(((x, bottom), (x, bottom + 2.5)))
                drawing.text(
                    x, height - 2, say(letter), size=7, anchor="middle", weight=600 if letter in "NESW" else 500
                )
    drawing.lines(ticks)
    return drawing


_HOURS_NAMED = {"8:00": "8 am", "10:00": "10 am", "12:00": "noon", "14:00": "2 pm", "16:00": "4 pm"}
"""Solar time: noon is when the sun stands highest."""


def _around(points: list[Point], centre: float) -> list[Point]:
    """Azimuths within half a turn of ``centre``."""
    return [((azimuth - centre + 180) % 360 - 180 + centre, elevation) for azimuth, elevation in points]
