"""What papers say in English, and how it reads in Spanish: the first look sentence by sentence, the usual milestones.

Names, reasons typed by the office and whatever no line here knows stay as they were written: nothing is left out.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from django.utils.safestring import SafeString

from paperwork import spanish_things
from paperwork.words import MONTHS_EN, MONTHS_ES

_BOOK = json.loads(Path(__file__).with_suffix(".json").read_text(encoding="utf-8"))
HEADINGS: dict[str, tuple[str, str]] = {key: (english, said) for key, (english, said) in _BOOK["headings"].items()}
"""The page's headings in both languages."""
LABELS: dict[str, str] = _BOOK["labels"]
MILESTONES: dict[str, str] = _BOOK["milestones"]
SENTENCES: dict[str, str] = _BOOK["sentences"]
AS_WRITTEN = frozenset({"facts", "density", "name", "long_name", "address", "firm_name", "firm_contact", "issued", "w"})
"""Keys of the page's content that are not the report's own words."""
_DURATION = re.compile(r"(?:([\d,]+) days?)?(?:(?:^| )(\d+) hours?)?( or more)?")
_MONTH = dict(zip(MONTHS_EN, MONTHS_ES, strict=True))
_SENTENCE_END = re.compile(r"(?<=[.!?]) (?=[\w“])")
_CHANGE = re.compile(r"([^:]+): (.*?) ?(?:\(was (.*)\)|\((not shown before)\))?\.")
_COMPILED = [(re.compile(pattern), said) for pattern, said in _BOOK["patterns"]]
_LONGER = [(pattern, said) for pattern, said in _COMPILED if r"\. " in pattern.pattern]
"""Those of more than one sentence."""


def spanish(text: str) -> str:
    """One text of the report: whole where it is known, else sentence by sentence."""
    parts = _SENTENCE_END.split(text)
    if text not in SENTENCES and len(parts) > 1:
        whole = _matched(text, _LONGER)
        said = [_known(part) for part in parts]
        return whole or " ".join(known or part for known, part in zip(said, parts, strict=True))
    return _known(text) or text


def _known(text: str) -> str | None:
    return SENTENCES.get(text) or _matched(text, _COMPILED)


def _matched(text: str, patterns: list[tuple[re.Pattern[str], str]]) -> str | None:
    for pattern, said in patterns:
        if found := pattern.fullmatch(text):
            return said.format(*(_piece(group or "") for group in found.groups()))
    return None


def _piece(text: str) -> str:
    """A month, a duration or a word within a sentence; names stay."""
    if text in _MONTH:
        return _MONTH[text]
    if text and (found := _DURATION.fullmatch(text)) and (found[1] or found[2]):
        days, hours = found[1], found[2]
        parts = [f"{days} día{'' if days == '1' else 's'}"] if days else []
        parts += [f"{hours} hora{'' if hours == '1' else 's'}"] if hours else []
        return " ".join(parts) + (" o más" if found[3] else "")
    return _known(text) or text


def spanish_change(text: str) -> str:
    """A line of what changed since the issue before."""
    if not (found := _CHANGE.fullmatch(text)):
        return text
    label, now, was, new = found.groups()
    name = LABELS.get(label) or spanish_things.CHANGES.get(label)
    if name is None:
        return text
    after = f" (antes {_value(was)})" if was else " (antes no figuraba)" if new else ""
    return f"{name}: {_value(now)}{after}."


def _value(text: str) -> str:
    if text == "no longer shown":
        return "ya no figura"
    return spanish_things.with_appliances(spanish_things.value(spanish(text)))


def in_spanish(content: Mapping[str, Any]) -> dict[str, Any]:
    """All of a page's content; drawings have been told their language when they were drawn."""
    return {key: value if key in AS_WRITTEN else _said(value) for key, value in content.items()}


def _said(value: Any) -> Any:
    if isinstance(value, SafeString) or not isinstance(value, str | list | tuple | dict):
        return value
    if isinstance(value, str):
        return _piece(value) if _DURATION.fullmatch(value) else spanish(value)
    if isinstance(value, dict):
        return {key: item if key == "name" else _said(item) for key, item in value.items()}
    return [_said(item) for item in value]


def milestone(title: str, language: str) -> str:
    """A part of the price as the customer reads it; titles of the office's own stay as it wrote them."""
    return MILESTONES.get(title, title) if language == "es" else title


def voice(language: str) -> Callable[[str], str]:
    """How a drawing's own words are said in this language."""
    return spanish if language == "es" else str
