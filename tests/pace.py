"""Times a piece of work as a quiet machine would take it, whatever else this one is doing.

A shared machine's core gives less when its neighbours are busy, even in processor time. So a yardstick of the same
sort (Python objects, text, a little arithmetic) is timed right before and after what is measured: a test fails because
the program got slower and not because the machine did.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from time import process_time

QUIET_MS = 4.0
"""The best that the yardstick takes on a quiet core of the machine on which the limits were set (two cores, 2026)."""
WORD = re.compile(r"(\w+)-(\d+)")


def yardstick() -> int:
    rows = [{"name": f"row-{n}", "values": [n, n * 2.5, str(n)], "note": None} for n in range(900)]
    text = json.dumps(rows)
    back = json.loads(text)
    found = sum(int(match.group(2)) for match in WORD.finditer(text))
    ordered = sorted(back, key=lambda row: (row["values"][2], row["name"]))
    return found + len("".join(f"<td>{row['name']}</td>" for row in ordered))


def spent_ms(work: Callable[[], object]) -> float:
    began = process_time()
    work()
    return (process_time() - began) * 1000


def slowness(rounds: int = 7) -> float:
    """At least 1: how many times longer than on a quiet machine the yardstick takes, at the best of some rounds."""
    return max(1.0, min(spent_ms(yardstick) for _ in range(rounds)) / QUIET_MS)


PATIENCE = 4
"""Times as many rounds as usual, on a machine that is never quiet for as long as one round."""


def quiet_ms(work: Callable[[], object], rounds: int = 7, *, within: float | None = None) -> float:
    """Milliseconds of this process's processor time for ``work``, at the pace of a quiet machine: the best round.

    ``within``: what it should take; so long as no round did, there are up to ``PATIENCE`` times as many.
    """
    work()
    best = float("inf")
    for _ in range(rounds if within is None else rounds * PATIENCE):
        before = slowness(2)
        took = spent_ms(work)
        best = min(best, took / max(before, slowness(2)))
        if within is not None and best < within:
            break
    return best
