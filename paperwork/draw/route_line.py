"""Where the job stands, as a line of contacts: closed behind, the one being worked on open, dashes ahead."""

from __future__ import annotations

from collections.abc import Sequence

from paperwork.draw.svg import ACCENT, INK, SOFT, Drawing


def route_line_drawing(stages: Sequence[tuple[str, str]], title: str, *, width: float = 520.0) -> Drawing:
    """``stages``: name and state ("done", "now" or "later") in order; the last one is the lamp."""
    drawing = Drawing(width, 44, title)
    y, left, right = 15.0, 30.0, width - 30.0
    pitch = (right - left) / max(1, len(stages) - 1)
    drawing.line((6, y), (left - 7, y), stroke_width=3)
    for i, (name, state) in enumerate(stages):
        x = left + i * pitch
        last = i == len(stages) - 1
        colour = ACCENT if state == "now" else INK
        if not last:
            reached = stages[i + 1][1] != "later" and state == "done"
            drawing.line(
                (x + 7, y),
                (x + pitch - (9 if i == len(stages) - 2 else 7), y),
                stroke_width=3 if reached else 1.1,
                stroke=INK,
                stroke_dasharray=None if reached else "1.5 3.5",
            )
        if last:
            drawing.circle((x, y), 9, stroke=colour, stroke_width=1.5, fill="#f7e2a0" if state == "done" else "#ffffff")
            drawing.line((x - 6.3, y - 6.3), (x + 6.3, y + 6.3), stroke=colour, stroke_width=1.5)
            drawing.line((x - 6.3, y + 6.3), (x + 6.3, y - 6.3), stroke=colour, stroke_width=1.5)
        else:
            for side in (-7, 7):
                drawing.line((x + side, y - 7), (x + side, y + 7), stroke_width=1.5)
            if state == "done":
                drawing.line((x - 7, y), (x + 7, y), stroke_width=3)
            else:
                drawing.line((x - 7, y), (x + 6, y - 9), stroke=colour, stroke_width=2.4 if state == "now" else 1.5)
        drawing.text(
            x,
            36,
            name,
            size=8.4 if state == "now" else 7.6,
            weight=600 if state != "later" else 500,
            anchor="middle",
            fill=ACCENT if state == "now" else INK if state == "done" else SOFT,
            keep=True,
        )
    return drawing


def warning_drawing(title: str) -> Drawing:
    """Triangle with an exclamation mark."""
    drawing = Drawing(13, 11.4, title)
    drawing.path("M6.5 0.8 12.2 10.6H0.8Z", stroke=INK, stroke_width=1.2)
    drawing.line((6.5, 4.2), (6.5, 7.4), stroke_width=1.4)
    drawing.circle((6.5, 9), 0.8, fill=INK, stroke="none")
    return drawing
