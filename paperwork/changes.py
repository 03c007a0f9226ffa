"""What differs from the issue before, in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

Facts = Mapping[str, Any]
Reader = Callable[[Facts], str]
Shown = Sequence[tuple[str, Reader]]
"""Label, and how its value reads on the paper; an empty text means that the paper doesn't show it."""


def changes(before: Facts, now: Facts, shown: Shown) -> list[str]:
    """One sentence per label whose text differs. Facts of an older program that lack a value count as not shown."""
    found = []
    for label, read in shown:
        was, is_now = _safely(read, before), _safely(read, now)
        if was == is_now:
            continue
        if not was:
            found.append(f"{label}: {is_now} (not shown before).")
        elif not is_now:
            found.append(f"{label}: no longer shown (was {was}).")
        else:
            found.append(f"{label}: {is_now} (was {was}).")
    return found


def _safely(read: Callable[[Facts], str], facts: Facts) -> str:
    try:
        return read(facts)
    except (KeyError, IndexError, TypeError):
        return ""
