"""How full the first-look page will be, estimated before it is set: saves laying it out several times.

Only where the search begins depends on it; that the page is one page is checked on the page itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from paperwork.draw.svg import text_width

POINTS = {
    "roomy": (8.6, 1.32, 13.5),
    "snug": (8.1, 1.26, 10.0),
    "tight": (7.8, 1.25, 9.2),
    "dense": (7.2, 1.2, 6.8),
    "least": (7.0, 1.18, 6.0),
}
"""Type size, line height and the padding of a section, as in first_look.css."""
PAGE_POINTS = {"letter": 702.0, "a4": 752.0}
BARLOW_OVER_SEMI_CONDENSED = 1.09
HEADING = 15.0


def lines(text: str, size: float, width: float) -> int:
    return max(1, math.ceil(text_width(text, size) * BARLOW_OVER_SEMI_CONDENSED / width)) if text else 0


def estimated_points(content: Mapping[str, Any], drawing_height: float, column: float) -> float:
    """Height of the page's content in points."""
    size, leading, padding = POINTS[content["density"]]
    line = size * leading
    small = 7.3 * 1.26

    def text(words: str, width: float = column) -> float:
        return lines(words, size, width) * line + 2.6

    page = 2 * column + 44
    head = 58 + 38 + text(content["recommended"]["why"], page - 44) + 40
    left = [HEADING + drawing_height + text(content["months_words"])]
    outage, starts, money = content["outage"], content["starts"], content["money"]
    left.append(
        HEADING
        + len(outage["rows"]) * (line + 3)
        + (drawing_height * 0.72 + 13 if outage["drawing"] else 0)
        + text(outage["words"])
    )
    left.append(
        HEADING
        + max(1, len(starts["rows"])) * (line + 3)
        + sum(lines(note, 7.3, column) * small + 2.6 for note in starts["notes"])
    )
    right = [
        HEADING + drawing_height + text(content["shade_words"]),
        HEADING
        + (62 if money["drawing"] else 0)
        + text(money["verdict"]) * 1.1
        + lines(money["small"], 7.3, column) * small,
        HEADING + sum(text(step, column - 10) for step in content["next_steps"]),
    ]
    if content["meaning"]:
        meant = HEADING + sum(text(item, column - 10) for item in content["meaning"])
        (right if content["facts"]["system_kind"] == "off_grid" else left).append(meant)
    columns = max(sum(part + padding for part in side) for side in (left, right))
    mind = HEADING + max(sum(text(item, column - 8) for item in half) for half in content["cautions"]) + padding
    assumed = lines(" ".join(content["assumptions"]), 7.3, page - 22) * small
    changed = lines(content["changed"], 7.3, page - 22) * small
    return head + columns + mind + assumed + changed


def first_to_try(
    contents: Iterable[Mapping[str, Any]], heights: tuple[float, ...], column: float, paper_size: str
) -> int:
    """Index of the roomiest density that may fit; contents after it are not looked at."""
    room, i = PAGE_POINTS[paper_size] - 2, 0
    for i, content in enumerate(contents):
        if estimated_points(content, heights[i], column) <= room:
            return i
    return i
