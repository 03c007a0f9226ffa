"""Pauses: a resting job waits for a day on which somebody looks again, and its clocks stand still meanwhile.

Whose clock stops: the office's, the crew's, the customer's and the lender's, whatever the cause. A jurisdiction keeps
counting, since it knows nothing of our pause; a utility stops only where it takes no applications itself. Bookings and
expiry dates are days of the calendar and move with nobody.
"""

from __future__ import annotations

from datetime import date, timedelta

from projects.route.facts import JobFacts, PauseCause, PauseFacts

CAUSES: dict[PauseCause, str] = {
    "undecided": "the customer is undecided",
    "weather": "weather",
    "moratorium": "the utility takes no applications",
    "other": "another reason",
    "closed": "closed meanwhile",
}
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LOOK_AGAIN = "look_again"
"""Key of the one next step of a paused job."""


def current_pause(facts: JobFacts) -> PauseFacts | None:
    """The pause that the job is in; a lost or cancelled job rests for good and has none."""
    if facts.outcome:
        return None
    return next((pause for pause in facts.pauses if pause.ended_on is None), None)


def span(pause: PauseFacts, today: date) -> tuple[date, date]:
    """First day of rest, and the first day after it; a pause that runs lasts at least until somebody looks again."""
    return pause.on, pause.ended_on or max(pause.look_again_on, today)


def paused_weekdays(facts: JobFacts, *causes: PauseCause) -> frozenset[date]:
    """Days, weekends aside, on which the job rested or will; of these causes alone where some are named."""
    days = set()
    for pause in facts.pauses:
        if causes and pause.cause not in causes:
            continue
        day, after = span(pause, facts.today)
        while day < after:
            if day.weekday() < 5:
                days.add(day)
            day += timedelta(days=1)
    return frozenset(days)


def moved_by_pauses(facts: JobFacts, start: date, due: date) -> date:
    """A due date counted in calendar days from ``start``, later by the days that the job rested before it."""
    for pause in sorted(facts.pauses, key=lambda p: p.on):
        first, after = span(pause, facts.today)
        if first <= due and after > start:
            due += max(timedelta(0), after - max(first, start))
    return due


def look_again_sentence(pause: PauseFacts) -> str:
    """With the year, so that it stays the same sentence whenever it is read."""
    day = pause.look_again_on
    return f"Look at the paused job again on {day.day} {_MONTHS[day.month - 1]} {day.year}"
