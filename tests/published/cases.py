"""The list of published cases, and the mark with which a test claims one.

``cases.csv`` has one line a case: its key, how far its answer is confirmed, what it is about and where it comes from.
A case is one published table, worked example or rule, however many of its values a test goes through.
"""

from __future__ import annotations

import ast
import csv
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest

HERE = Path(__file__).parent
STANDINGS = {
    "confirmed": "read in a public text, a library's tests or documentation",
    "memory": "published, its figures from memory and recomputed where they can be",
    "rule": "arithmetic on a published rule, inputs ours",
    "computed": "sums over a public data file, not printed anywhere",
}


@dataclass(frozen=True)
class Case:
    key: str
    standing: str
    subject: str
    source: str


def case(*keys: str) -> pytest.MarkDecorator:
    """This test holds sizing against these cases of ``cases.csv``."""
    return pytest.mark.published(*keys)


def listed() -> list[Case]:
    with (HERE / "cases.csv").open(encoding="utf-8", newline="") as file:
        return [Case(**row) for row in csv.DictReader(file)]


def claimed() -> dict[str, list[str]]:
    """Key to the tests that claim it, read off the test files; a test that asserts nothing claims nothing."""
    found: dict[str, list[str]] = {}
    for path in sorted(HERE.glob("test_*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                asserts = any(isinstance(part, ast.Assert) for part in ast.walk(node))
                for key in _keys(node) if asserts else ():
                    found.setdefault(key, []).append(f"{path.name}::{node.name}")
    return found


def _keys(node: ast.FunctionDef) -> list[str]:
    return [
        argument.value
        for mark in node.decorator_list
        if isinstance(mark, ast.Call) and isinstance(mark.func, ast.Name) and mark.func.id == "case"
        for argument in mark.args
        if isinstance(argument, ast.Constant)
    ]


def count() -> Counter[str]:
    """Distinct cases that a test claims, by standing."""
    tested = claimed()
    return Counter(item.standing for item in listed() if item.key in tested)
