"""One line of working: a figure, how it was reached and where the rule comes from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Term:
    """One input of a formula, as it stood when the figure was worked out (``value`` in ``unit``)."""

    symbol: str
    value: float
    unit: str
    note: str = ""


@dataclass(frozen=True)
class Working:
    """A figure that can end up before a plan reviewer.

    ``key`` is stable (``"string.voc_cold"``); ``passes`` is None where nothing is being checked, else whether
    ``result`` keeps ``limit``. ``source`` names table or section with its edition, or "common practice, no source".
    """

    key: str
    label: str
    formula: str
    terms: tuple[Term, ...]
    result: float
    unit: str
    source: str
    limit: float | None = None
    passes: bool | None = None
    remark: str = ""
