"""One word for one thing: the panel is the critical-loads panel, what the household must run are essential loads.

Read in the program's own words: papers, screens, sizing, in English. "Critical path" is another matter.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.conf import settings

ROOMS = ("paperwork", "projects", "sizing", "templates")
ENDS = (".py", ".html", ".json", ".js", ".csv")
WRONG = re.compile(
    r"essential[- ]loads?[- ]panel|critical[- ]loads?\b(?![- ]panel)|critical (?!path|loads? panel)", re.IGNORECASE
)
TAKEN_FROM_SHEETS = 'listed, ("must run", "essential loads", "critical loads")'
"""Headings that other people's tables use; the reader of tables knows them all."""


def texts() -> list[tuple[str, str]]:
    root = Path(settings.BASE_DIR)
    files = [file for room in ROOMS for file in sorted((root / room).rglob("*")) if file.suffix in ENDS]
    return [(str(file.relative_to(root)), file.read_text(encoding="utf-8")) for file in files if file.is_file()]


def test_the_panel_and_the_loads_have_one_name_each() -> None:
    every = texts()
    assert len(every) > 300
    found = [
        f"{name}: {text[max(0, hit.start() - 30) : hit.end() + 20]!r}"
        for name, text in every
        for hit in WRONG.finditer(text.replace(TAKEN_FROM_SHEETS, ""))
    ]
    assert found == []


@pytest.mark.parametrize("wrong", ["the essential-loads panel", "critical loads carried", "Critical circuits"])
def test_other_names_would_be_found(wrong: str) -> None:
    assert WRONG.search(wrong)


@pytest.mark.parametrize("right", ["Critical-loads panel", "essential loads", "the critical path", "critical_panel"])
def test_the_right_ones_pass(right: str) -> None:
    assert not WRONG.search(right)
