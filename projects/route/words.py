"""Small words that the route's sentences and captions share."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import lru_cache

from projects.route.facts import Comment, JobFacts, Party, PermitKind

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

PARTY_NAMES: dict[Party, str] = {
    "office": "the office",
    "crew": "the crew",
    "customer": "the customer",
    "engineer": "the structural engineer",
    "contractor": "the licensed contractor",
    "electrician": "the licensed electrician",
    "jurisdiction": "the jurisdiction",
    "utility": "the utility",
    "lender": "the lender",
}

PERMIT_NAMES: dict[PermitKind, str] = {
    "building": "building permit",
    "electrical": "electrical permit",
    "combined": "combined permit",
    "fire": "fire review",
}

PHOTO_NAMES = {
    "panel": "the service panel",
    "meter": "the meter",
    "roof": "the roof",
    "attic": "the attic",
    "array": "the array",
    "inverter": "the inverter",
    "battery": "the battery",
    "labels": "the labels",
}


def party_name(facts: JobFacts, party: Party) -> str:
    """Whom a person would name: "Town of Marrow Bay", "the office"."""
    if party == "jurisdiction":
        return facts.jurisdiction.name
    if party == "utility":
        return facts.utility.name
    return PARTY_NAMES[party]


def short_date(day: date, today: date) -> str:
    """ "3 Nov"; with the year ("3 Nov 2025") where it isn't this one."""
    words = f"{day.day} {_MONTHS[day.month - 1]}"
    return words if day.year == today.year else f"{words} {day.year}"


@lru_cache(maxsize=1024)
def within_sentence(sentence: str) -> str:
    """Lower case in front, no full stop behind, to stand inside another sentence."""
    return sentence[:1].lower() + sentence[1:].rstrip(".")


def listed(items: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def counted(comments: Sequence[Comment], noun: str, verb: str) -> str:
    """ "2 of 3 comments answered"."""
    answered = sum(1 for comment in comments if comment.answered_on)
    return f"{answered} of {len(comments)} {noun}{'' if len(comments) == 1 else 's'} {verb}"
