"""The label sheet: the warning texts of a design with its own numbers, drawn at printed size."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from paperwork.content.block import title_block
from paperwork.draw.svg import text_width, wrapped

POINTS_PER_INCH = 72.0
CAPITAL_SHARE = 0.7
"""Height of a capital letter over the size of the type, in Barlow."""
LETTER_HEIGHTS_IN: dict[str, tuple[float, float]] = {
    "dc_raceway": (3 / 8, 3 / 8),
    "rapid_shutdown": (3 / 8, 3 / 16),
}
"""First line and the others, inches; NEC 690.31 and 690.56(C), from memory. Other labels have no height in the code."""
COLOURS: dict[str, tuple[str, str]] = {
    "dc_raceway": ("red", "white on red, reflective"),
    "rapid_shutdown": ("yellow", "first line black on yellow, the others black on white, reflective"),
}
"""Class of the style sheet, and in words; NEC 690.31 and 690.56(C), from memory. The words stand on the sheet, so that
it can be printed in black."""
USUAL_HEIGHT_IN = 3 / 16
"""For labels without a height of their own; common practice, no source."""
ROOM_POINTS = 470.0
"""Width that a label's lines have on the narrower paper, A4."""
CHECK = (
    "The wording is short and is to be checked against the code that is adopted here and against what the utility "
    "asks, before anything is ordered. Wording, rules, heights and colours are written from memory of the code."
)
STANDING = ("wording to be checked against", "the adopted code; not certified")


def type_points(height_in: float) -> float:
    """Type size whose capitals are ``height_in`` inches high."""
    return round(height_in * POINTS_PER_INCH / CAPITAL_SHARE, 1)


def even_rows(text: str, points: float) -> list[str]:
    """As few rows as the label's width allows, about equally long: no word stands alone below a full line."""
    number = math.ceil(text_width(text, points, 600) / ROOM_POINTS)
    width = ROOM_POINTS
    while number > 1 and len(wrapped(text, points, width - 6, 600)) <= number:
        width -= 6
    return wrapped(text, points, width, 600)


def _inches(height: float) -> str:
    return {3 / 8: "3/8 in", 3 / 16: "3/16 in"}[height]


def label_rows(facts: Mapping[str, Any]) -> list[dict[str, Any]]:
    rows = []
    for number, label in enumerate(facts["labels"], start=1):
        heights = LETTER_HEIGHTS_IN.get(label["key"])
        style, colours = COLOURS.get(label["key"], ("", ""))
        first, others = heights or (USUAL_HEIGHT_IN, USUAL_HEIGHT_IN)
        if heights is None:
            said = f"drawn with capitals of {_inches(USUAL_HEIGHT_IN)}; the rule gives no height here"
        elif first == others:
            said = f"capitals of at least {_inches(first)}"
        else:
            said = f"capitals of at least {_inches(first)} in the first line, {_inches(others)} in the others"
        rows.append(
            {
                "number": number,
                "place": label["place"],
                "source": label["source"],
                "height": f"{said}; {colours}" if colours else said,
                "style": style,
                "lines": [
                    {"text": text, "points": points, "rows": even_rows(text, points)}
                    for text, points in (
                        (text, type_points(first if at == 0 else others)) for at, text in enumerate(label["text"])
                    )
                ],
            }
        )
    return rows


def label_sheet(facts: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "facts": facts,
        "head": title_block(facts, STANDING),
        "check": CHECK,
        "authority": facts["jurisdiction"] or "the authority having jurisdiction",
        "edition": facts["study"]["request"]["code_edition"],
        "labels": label_rows(facts),
        "changes": facts.get("changes", []),
    }
