"""Sets a drawing's label as one line of type.

WeasyPrint lays out, measures and writes an SVG text letter by letter, since a letter may have a place of its own. Ours
never have: a page of drawings carries some 50 labels of 300 letters, and they took a sixth of a report's time. Set
whole, a label is kerned as the text around it, and a reader of the file finds words instead of letters.
"""

from __future__ import annotations

from functools import cache
from typing import Any

PLACED = frozenset(
    {
        "dx",
        "dy",
        "rotate",
        "letter-spacing",
        "textLength",
        "text-anchor",
        "direction",
        "font-style",
        "display-anchor",
        "dominant-baseline",
        "alignment-baseline",
        "opacity",
    }
)
"""With any of these a text is the library's to set."""


def plain(node: Any) -> bool:
    """One line from its left end on, in one size, weight and colour."""
    places = node.get("x"), node.get("y")
    return bool(node.text) and all(places) and not any(" " in p for p in places) and PLACED.isdisjoint(node.attrib)


@cache
def set_labels_whole() -> None:
    """From now on in this process. What is not plain is set as before."""
    from weasyprint import svg

    by_letter = svg.text

    def text(drawing: Any, node: Any, font_size: float) -> None:
        if plain(node):
            _line(drawing, node, font_size)
        else:
            by_letter(drawing, node, font_size)

    for tag, draws in svg.TAGS.items():
        if draws is by_letter:
            svg.TAGS[tag] = text
    svg.text = text


def _line(drawing: Any, node: Any, font_size: float) -> None:
    from weasyprint.css.properties import INITIAL_VALUES
    from weasyprint.draw.text import draw_first_line
    from weasyprint.matrix import Matrix
    from weasyprint.svg.utils import size
    from weasyprint.text.line_break import create_layout

    style = _Style(INITIAL_VALUES)
    style.font_config = drawing.font_config
    style["font_family"] = [family.strip("\"' ") for family in node.get("font-family", "sans-serif").split(",")]
    style["font_weight"] = {"normal": 400, "bold": 700}.get(weight := node.get("font-weight", "400")) or int(weight)
    style["font_size"] = font_size
    layout = create_layout(node.text, style, drawing.context, None, 0)
    x = size(node.get("x"), font_size, drawing.inner_width)
    y = size(node.get("y"), font_size, drawing.inner_height)
    stream = drawing.stream
    stream.push_state()
    fill, stroke = drawing.set_graphical_state(node, font_size)
    stream.begin_text()
    drawing.fill_stroke(fill, stroke, text=True)
    draw_first_line(stream, _Line(layout, style), "none", "none", Matrix(d=-1, e=x, f=y))
    stream.end_text()
    stream.pop_state()


class _Style(dict[str, Any]):
    """What the library reads of a style: its values, and where fonts come from."""

    font_config: Any


class _Line:
    """What the library reads of a line that it writes."""

    def __init__(self, layout: Any, style: _Style) -> None:
        self.pango_layout, self.style, self.baseline = layout, style, 0.0

    @property
    def text(self) -> str:
        return str(self.pango_layout.text)
