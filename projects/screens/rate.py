"""How often something came within the hour, counted for all processes together."""

from __future__ import annotations

import time

from django.core.cache import caches

HOUR_S = 3600


def counted(key: str) -> int:
    """Counts one more and says how many came within the hour, this one included.

    The hour runs from the first: a count that is renewed must not prolong it.
    """
    counts, now = caches["shared"], time.time()
    since, before = counts.get(key) or (now, 0)
    counts.set(key, (since, before + 1), max(1, since + HOUR_S - now))
    return before + 1


def so_far(key: str) -> int:
    _, taken = caches["shared"].get(key) or (0, 0)
    return taken
