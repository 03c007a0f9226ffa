"""The QR code that leads from a paper to its job."""

from __future__ import annotations

from functools import lru_cache
from itertools import groupby

from paperwork.draw.svg import Drawing

QUIET = 4
"""White modules around the code, ISO/IEC 18004."""


def matrix(address: str) -> list[list[bool]]:
    """Dark modules, row by row, with the quiet zone; error correction M takes 15 % of damage."""
    import segno

    code = segno.make(address, error="m", micro=False)
    return [[bool(module) for module in row] for row in code.matrix_iter(border=QUIET)]


@lru_cache(maxsize=64)
def qr_drawing(address: str) -> Drawing:
    """One point to a module; the page's style sheet says how large it is printed."""
    rows = matrix(address)
    drawing = Drawing(len(rows), len(rows), f"QR code: {address}")
    runs = []
    for y, row in enumerate(rows):
        x = 0
        for dark, group in groupby(row):
            wide = len(list(group))
            if dark:
                runs.append(f"M{x} {y}h{wide}v1h-{wide}z")
            x += wide
    drawing.add("path", d="".join(runs), fill="#000000", shape_rendering="crispEdges")
    return drawing
