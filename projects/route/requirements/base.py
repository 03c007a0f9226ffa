"""What a requirement of the route declares."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from projects.route.business_days import add_business_days
from projects.route.facts import JobFacts, Party
from projects.route.pauses import paused_weekdays


@dataclass(frozen=True)
class Met:
    """The fact is there; ``on`` where its day is known."""

    on: date | None = None


class Done:
    """The requirements done so far, with their days, while the route is walked in order."""

    def __init__(self, facts: JobFacts) -> None:
        self.facts = facts
        self.on: dict[str, date | None] = {}
        self._ours = facts.jurisdiction.holidays
        self._utility = facts.utility.holidays
        if facts.pauses:
            self._ours |= paused_weekdays(facts)
            self._utility |= paused_weekdays(facts, "moratorium")

    def latest(self, *keys: str) -> date | None:
        """The latest known day on which one of these was done."""
        latest = None
        for key in keys:
            day = self.on.get(key)
            if day is not None and (latest is None or day > latest):
                latest = day
        return latest

    def business_days_after(self, days: int, start: date | None) -> date | None:
        """By our own clock: the jurisdiction's calendar, and days on which the job rests don't count.

        Nothing where the start isn't known.
        """
        return None if start is None else add_business_days(start, days, self._ours)

    def jurisdiction_days_after(self, days: int, start: date | None) -> date | None:
        """By the jurisdiction's clock, which our pauses don't stop."""
        return None if start is None else add_business_days(start, days, self.facts.jurisdiction.holidays)

    def utility_days_after(self, days: int, start: date | None) -> date | None:
        """By the utility's clock: it stops while the utility takes no applications."""
        return None if start is None else add_business_days(start, days, self._utility)


Due = Callable[[JobFacts, Done], "date | None"]


def _always(facts: JobFacts) -> bool:
    return True


def _no_due(facts: JobFacts, done: Done) -> date | None:
    return None


def _no_detail(facts: JobFacts) -> str:
    return ""


@dataclass(frozen=True, kw_only=True)
class Requirement:
    """One thing that must be true before its stage is complete.

    ``after`` names requirements that come first; those that don't apply to a job don't count. A requirement with
    ``met`` always None exists only while something is wrong, and disappears when that is put right.
    """

    key: str
    stage: str
    party: Party
    sentence: Callable[[JobFacts], str]
    met: Callable[[JobFacts], Met | None]
    applies: Callable[[JobFacts], bool] = _always
    after: tuple[str, ...] = ()
    due: Due = _no_due
    detail: Callable[[JobFacts], str] = _no_detail
    keeps_detail: bool = False
    """The detail still matters once the requirement is met."""
    hold: bool = False
    waivable: bool = True
    """Never for a hold; nor where the hold behind it reads the same fact, so that a waiver would release nothing."""
    branch: str = ""
    mark: str = ""
    """The plain fact that meets it, where there is one (see ``marks``)."""

    def __post_init__(self) -> None:
        if self.hold and self.waivable:
            raise ValueError(f"{self.key}: a hold can't be waived")


def said(sentence: str) -> Callable[[JobFacts], str]:
    """A sentence that is the same for every job."""
    return lambda facts: sentence


def marked(key: str) -> Callable[[JobFacts], Met | None]:
    """Met by the plain fact of this key."""

    def met(facts: JobFacts) -> Met | None:
        mark = facts.marks.get(key)
        return None if mark is None else Met(mark.on)

    return met


def on_day(day: date | None) -> Met | None:
    return None if day is None else Met(day)


def known(fact: bool) -> Met | None:
    return Met() if fact else None


def never(facts: JobFacts) -> Met | None:
    """For requirements that disappear instead of being met."""
    return None


def days_after(days: int, *keys: str) -> Due:
    """Due ``days`` business days after the latest of these was done."""
    return lambda facts, done: done.business_days_after(days, done.latest(*keys))
