"""A sheet to draw on: collects SVG elements, measures text with the real font, keeps boxes for overlap tests."""

from __future__ import annotations

import math
from base64 import b64encode
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache, lru_cache
from html import escape
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils.html import format_html
from django.utils.safestring import SafeString

INK = "#1d2733"
SOFT = "#55606c"
RULE = "#b9b3a4"
ACCENT = "#b4461b"
PAPER = "#ffffff"
NO_BREAK = "\u00a0"
FACE = "Barlow Semi Condensed"

Point = tuple[float, float]


@dataclass(frozen=True)
class Box:
    x0: float
    y0: float
    x1: float
    y1: float
    what: str = ""

    def overlaps(self, other: Box, gap: float = 0.0) -> bool:
        return (
            self.x0 < other.x1 + gap
            and other.x0 < self.x1 + gap
            and self.y0 < other.y1 + gap
            and other.y0 < self.y1 + gap
        )

    def inside(self, other: Box) -> bool:
        return self.x0 >= other.x0 and self.y0 >= other.y0 and self.x1 <= other.x1 and self.y1 <= other.y1


@cache
def _advances(weight: int) -> tuple[dict[int, float], float]:
    from fontTools.ttLib import TTFont

    file = Path(settings.BASE_DIR) / "projects" / "static" / "fonts" / f"barlow-sc-{weight}.woff2"
    font = TTFont(file, lazy=True)
    em, widths = font["head"].unitsPerEm, font["hmtx"].metrics
    table = {code: widths[glyph][0] / em for code, glyph in font.getBestCmap().items()}
    return table, max(table.values())


def text_width(text: str, size: float, weight: int = 500) -> float:
    """Points that ``text`` takes in Barlow Semi Condensed; a character the font lacks counts as its widest."""
    return size * _ems(text, weight)


@lru_cache(maxsize=2048)
def _ems(text: str, weight: int) -> float:
    """The same words are measured in one size after another, until a page holds them."""
    table, widest = _advances(weight)
    return sum(table.get(ord(character) if character != NO_BREAK else 32, widest) for character in text)


def wrapped(text: str, size: float, width: float, weight: int = 500) -> list[str]:
    """Lines of at most ``width`` points, broken at spaces (not at no-break spaces); a longer word is broken."""
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        if not word:
            continue
        longer = f"{line} {word}".strip()
        if text_width(longer, size, weight) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        while text_width(word, size, weight) > width and len(word) > 1:
            keep = max(1, int(len(word) * width / text_width(word, size, weight)))
            while keep > 1 and text_width(word[:keep], size, weight) > width:
                keep -= 1
            lines.append(word[:keep])
            word = word[keep:]
        line = word
    if line:
        lines.append(line)
    return lines or [""]


def thinned(points: Iterable[Point], within: float = 0.06) -> list[Point]:
    """A curve without the points that lie less than ``within`` off the straight line past them: nobody sees them."""
    curve = list(points)
    kept, start = curve[:1], 0
    for end in range(2, len(curve)):
        (x0, y0), (x1, y1) = curve[start], curve[end]
        long = math.hypot(x1 - x0, y1 - y0) or 1.0
        between = curve[start + 1 : end]
        if any(abs((x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)) > within * long for x, y in between):
            start = end - 1
            kept.append(curve[start])
    return kept + curve[-1:] if len(curve) > 1 else kept


def num(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if value != int(value) else str(int(value))


def _attributes(values: dict[str, Any]) -> str:
    return "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(num(v) if isinstance(v, float | int) else str(v))}"'
        for key, v in values.items()
        if v is not None
    )


@dataclass
class Drawing:
    width: float
    height: float
    title: str
    """Read out instead of the picture."""
    parts: list[str] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    """Labels that must not touch one another, a symbol or a wire."""
    symbols: list[Box] = field(default_factory=list)
    wires: list[Box] = field(default_factory=list)

    def add(self, element: str, **attributes: Any) -> None:
        self.parts.append(f"<{element}{_attributes(attributes)}/>")

    def line(self, a: Point, b: Point, **attributes: Any) -> None:
        self.add("line", x1=a[0], y1=a[1], x2=b[0], y2=b[1], **{"stroke": INK, "stroke_width": 0.8, **attributes})

    def rect(self, x: float, y: float, width: float, height: float, **attributes: Any) -> None:
        self.add(
            "rect",
            x=x,
            y=y,
            width=width,
            height=height,
            **{"fill": "none", "stroke": INK, "stroke_width": 0.8, **attributes},
        )

    def lines(self, pairs: Iterable[tuple[Point, Point]], **attributes: Any) -> None:
        """Lines of one look as one element: each element of a drawing costs its share of a paper's time."""
        self.polylines(pairs, **attributes)

    def rects(self, corners: Iterable[tuple[float, float, float, float]], **attributes: Any) -> None:
        """Rectangles (x, y, width, height) of one look as one element."""
        d = "".join(f"M{num(x)} {num(y)}h{num(w)}v{num(h)}h{num(-w)}Z" for x, y, w, h in corners)
        self.path(d, **{"stroke_linejoin": "miter", **attributes})

    def circle(self, centre: Point, r: float, **attributes: Any) -> None:
        self.add(
            "circle",
            cx=centre[0],
            cy=centre[1],
            r=r,
            **{"fill": "none", "stroke": INK, "stroke_width": 0.8, **attributes},
        )

    def path(self, d: str, **attributes: Any) -> None:
        self.add(
            "path",
            d=d,
            **{"fill": "none", "stroke": INK, "stroke_width": 0.8, "stroke_linejoin": "round", **attributes},
        )

    def polyline(self, points: Iterable[Point], *, close: bool = False, **attributes: Any) -> None:
        d = "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points) + ("Z" if close else "")
        self.path(d, **attributes)

    def polylines(self, runs: Iterable[Iterable[Point]], **attributes: Any) -> None:
        """Open lines of one look as one element."""
        d = "".join("M" + "L".join(f"{num(x)} {num(y)}" for x, y in run) for run in runs)
        if d:
            self.path(d, **attributes)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float = 7.5,
        weight: int = 500,
        anchor: str = "start",
        fill: str = INK,
        keep: bool = False,
        halo: bool = False,
    ) -> Box:
        """Baseline at ``y``. ``keep``: the box counts in overlap tests. ``halo``: paper-coloured ground behind it."""
        width = text_width(text, size, weight)
        x0 = {"start": x, "middle": x - width / 2, "end": x - width}[anchor]
        box = Box(x0, y - 0.78 * size, x0 + width, y + 0.22 * size, text)
        if halo:
            self.rect(box.x0 - 1, box.y0, width + 2, box.y1 - box.y0, fill=PAPER, stroke="none")
        # Always from its left end: a text anchored elsewhere becomes a form of its own in the PDF, some forty a page.
        self.parts.append(
            f'<text x="{num(x0)}" y="{num(y)}" font-family="{FACE}" font-size="{num(size)}" font-weight="{weight}" '
            f'fill="{fill}">{escape(text)}</text>'
        )
        if keep:
            self.boxes.append(box)
        return box

    def svg(self) -> str:
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {num(self.width)} {num(self.height)}" '
            f'width="{num(self.width)}pt" height="{num(self.height)}pt" role="img">'
            f"<title>{escape(self.title)}</title>{''.join(self.parts)}</svg>"
        )

    def picture(self) -> SafeString:
        """For a page: as an image of its own, since styling some hundred elements one by one doubles the time."""
        return format_html(
            '<img src="data:image/svg+xml;base64,{}" alt="{}">', b64encode(self.svg().encode()).decode(), self.title
        )
