"""What the office does first: the order of its desk, by what happens if nobody does it.

The rule, in order:

1. Work must stop: a permit or a licence has expired, or does within 7 days.
2. A promise: the first-look report, within 24 hours of the lead.
3. An authority or an inspector waits for us, and the answer is late or due within 2 days.
4. A step of ours or a call to the customer is late or due today, or a paused job is to be looked at again.
5. What can be done now: steps not due yet, answers with time left, others who are over their time and may be asked.
6. Looking ahead: permits that expire within 30 days, licences and insurance within 60.

A warning comes three times, each time nearer: permits 30, 14 and 7 days ahead, licences and insurance 60, 30 and 7. The
first is for looking ahead, the second can be acted on now, the third stops work.

Within a step the earlier day comes first (none last), then the older job. The warning days are common practice, no
source. The rule knows nothing of the clock: the days left are given.
"""

from __future__ import annotations

from datetime import date
from typing import Literal

Kind = Literal[
    "permit_expiry", "licence_expiry", "insurance_expiry", "first_look", "answer", "step", "call", "ask", "look_again"
]
"""answer: plan review, the utility or an inspector waits for us. call: the customer is over the day. ask: another party
is over its time."""

TITLES: dict[int, str] = {
    1: "Work stops without it",
    2: "Promised within 24 hours",
    3: "An authority waits for us",
    4: "Late or due today",
    5: "Can be done now",
    6: "Looking ahead",
}
STOPS_WORK_DAYS = 7
ANSWER_SOON_DAYS = 2
PERMIT_WARNING_DAYS = (30, 14, 7)
LICENCE_WARNING_DAYS = (60, 30, 7)
WARNING_DAYS: dict[Kind, tuple[int, ...]] = {
    "permit_expiry": PERMIT_WARNING_DAYS,
    "licence_expiry": LICENCE_WARNING_DAYS,
    "insurance_expiry": LICENCE_WARNING_DAYS,
}
_WARNING_LEVELS = (6, 5, 1)
FIRST_LOOK_HOURS = 24


def level(kind: Kind, days_left: int | None) -> int:
    """The step of the rule, 1 pressing most; ``days_left`` is negative where the day has passed."""
    if kind in WARNING_DAYS:
        warnings = WARNING_DAYS[kind]
        return _WARNING_LEVELS[warnings.index(warning(days_left, warnings) or warnings[0])]
    if kind == "first_look":
        return 2
    if kind == "answer" and days_left is not None and days_left <= ANSWER_SOON_DAYS:
        return 3
    if kind in ("step", "call", "look_again") and days_left is not None and days_left <= 0:
        return 4
    return 5


def order(kind: Kind, due: date | None, today: date, number: int) -> tuple[int, date, int]:
    """Sorts the desk."""
    return level(kind, (due - today).days if due else None), due or date.max, number


def can_be_put_off(level_of_matter: int) -> bool:
    """What stops work stays in sight until it is done."""
    return level_of_matter > 1


def warning(days_left: int | None, warning_days: tuple[int, ...]) -> int | None:
    """Which of the warnings is due, the nearest one reached: 30 of (60, 30, 7) with 20 days left; None before all."""
    if days_left is None:
        return None
    return min((days for days in warning_days if days_left <= days), default=None)
