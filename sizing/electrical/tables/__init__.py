"""The code's tables as data: one CSV per table, its source in the comment lines at its head."""

from __future__ import annotations

import csv
from functools import cache
from importlib import resources

Row = dict[str, str]


@cache
def table(name: str) -> tuple[Row, ...]:
    """Rows of ``<name>.csv`` in their order, values as written."""
    text = resources.files(__name__).joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@cache
def column(name: str, key: str, value: str) -> dict[str, float]:
    """One column of numbers by another column's text; rows without a number are left out."""
    return {row[key]: float(row[value]) for row in table(name) if row[value]}
