"""One line of a job's documents, whatever it is of; and whether it is what somebody looks for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone
from django.utils.formats import date_format

from projects.words import plain


@dataclass(frozen=True)
class Line:
    title: str
    number: str = ""
    day: date | None = None
    who: str = ""
    words: tuple[str, ...] = ()
    """What else there is to say, a sentence or two each."""
    address: str = ""
    """Where it opens."""
    picture: str = ""
    trouble: str = ""
    issue: int | None = None
    pages: int | None = None
    sha: str = ""
    """The first letters of the hash."""
    changes: tuple[str, ...] = ()
    """What differs from the issue before."""
    text: str = ""
    """A letter, in full."""
    earlier: tuple[Line, ...] = ()
    unfold: bool = False
    """Found among the earlier ones."""

    @property
    def spoken(self) -> str:
        day = day_words(self.day) if self.day else ""
        parts = (self.title, self.number, day, self.who, self.sha, self.trouble, self.text, *self.words, *self.changes)
        return plain(" ".join(part for part in parts if part))

    def holds(self, wanted: Iterable[str]) -> bool:
        spoken = self.spoken
        return all(word in spoken for word in wanted)


def day_words(day: date) -> str:
    return date_format(day, "j M Y")


def day_of(at: datetime) -> date:
    return timezone.localdate(at)


def dated(label: str, day: date | None) -> str:
    """ "Approved 3 Nov 2026", or nothing."""
    return f"{label} {day_words(day)}" if day else ""


def told(*parts: str) -> tuple[str, ...]:
    """Those that say something."""
    return tuple(part for part in parts if part)
