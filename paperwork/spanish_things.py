"""What things are called on Spanish papers: appliances of the list, checks of the study, devices of the drawing.

Names that the office typed itself stay as it wrote them.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from pathlib import Path

_BOOK = json.loads(Path(__file__).with_suffix(".json").read_text(encoding="utf-8"))
APPLIANCES: dict[str, str] = _BOOK["appliances"]
"""By the names of the list of appliances (``sizing/loads/appliances.csv``)."""
CHANGES: dict[str, str] = _BOOK["changes"]
"""Labels of what a drawing or packet shows, as its list of changes names them."""
_CHECKS = [(re.compile(english), said) for english, said in _BOOK["checks"]]
_VALUES = [(re.compile(english), said) for english, said in _BOOK["values"]]
DRAWING: dict[str, str] = dict(_BOOK["drawing"])


def appliance(name: str, language: str) -> str:
    return APPLIANCES.get(name, name) if language == "es" else name


def with_appliances(text: str) -> str:
    """A list of names within a line: every name of the list of appliances in it."""
    for name in sorted(APPLIANCES, key=len, reverse=True):
        text = text.replace(name, APPLIANCES[name])
    return text


def check_label(label: str, language: str) -> str:
    """A check as it stands within a sentence: "the busbar …"; in English its label with a small letter."""
    if language == "es":
        return _matched(label, _CHECKS) or label
    return label[:1].lower() + label[1:]


def value(text: str) -> str:
    """A value in a list of changes, part by part; numbers, names and sizes of conductors read alike in both."""
    return "; ".join(_matched(part, _VALUES) or part for part in text.split("; "))


def _matched(text: str, patterns: Iterable[tuple[re.Pattern[str], str]]) -> str | None:
    for pattern, said in patterns:
        if found := pattern.fullmatch(text):
            return said.format(*(_matched(part, patterns) or part for part in found.groups()))
    return None


def glossary(titles: Iterable[str]) -> list[tuple[str, str]]:
    """Devices that a drawing names, English beside Spanish, in the drawing's words."""
    return [(title, DRAWING[title]) for title in dict.fromkeys(titles) if title in DRAWING]
