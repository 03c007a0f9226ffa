"""A jurisdiction's own list of what a permit packet must hold, and which part of the packet shows each of it.

One a line, in the counter's words; after "=" the part: "Plot plan with fire access = roof plan". A line without a part
names a paper that is attached.
"""

from __future__ import annotations

from dataclasses import dataclass

PARTS = (
    "cover",
    "roof plan",
    "structural sheet",
    "single-line diagram",
    "calculation sheet",
    "equipment data",
    "label sheet",
)
"""Parts of packets, in their order."""
MOST_LINES = 25
MOST_CHARACTERS = 100


@dataclass(frozen=True)
class Wanted:
    what: str
    part: str
    """One of PARTS; empty: to be attached."""


def wanted_of(text: str) -> tuple[list[Wanted], list[str]]:
    """What the list asks for, and in words what of it can't be read."""
    found: list[Wanted] = []
    wrong: list[str] = []
    lines = [" ".join(line.split()) for line in text.splitlines() if line.strip()]
    if len(lines) > MOST_LINES:
        wrong.append(f"{MOST_LINES} lines at most.")
    for line in lines:
        what, _, part = (piece.strip() for piece in line.partition("="))
        part = part.lower().rstrip(".")
        if not what:
            wrong.append(f"“{line}”: say before the “=” what is asked for.")
        elif len(what) > MOST_CHARACTERS:
            wrong.append(f"“{what[:30]}…”: {MOST_CHARACTERS} characters at most.")
        elif "=" in line and part not in PARTS:
            wrong.append(f"“{part}” is no part of a packet; parts are {', '.join(PARTS)}.")
        else:
            found.append(Wanted(what, part))
    return found, wrong
