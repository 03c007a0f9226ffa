"""Five questions that an owner has in the morning, each answered by one figure and one line.

What is stuck, what is due, how much is in the pipe, when does cash come, and who is overloaded.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.urls import reverse

from projects.queries.crew_load import Week
from projects.queries.money import Owed
from projects.queries.people_load import PersonLoad
from projects.queries.pipeline import Pipeline
from projects.queries.stuck import Stuck
from projects.screens.owner.drawing import money
from projects.screens.tasks import task

FULL = 0.8
"""From this share of its days on a crew's week is told as filling up."""


@dataclass(frozen=True)
class Answer:
    key: str
    title: str
    figure: str
    line: str
    address: str
    alarm: bool
    asks: str = ""
    """Address that answers with a fuller line, where that takes longer than the rest of the page."""


def stuck_answer(rows: Sequence[Stuck], found: int) -> Answer:
    if not rows:
        return Answer("stuck", "Stuck", "nothing", "Every job moves within its usual time.", "#stuck", False)
    first = rows[0]
    line = f"{first.job.customer.name}: {why(first)}"
    return Answer("stuck", "Stuck", _jobs(found), line, "#stuck", True)


def due_answer(late: int, due: int, until: date) -> Answer:
    line = f"{due} more due by {until:%A} {until.day} {until:%b}" if due else "Nothing more is due within a week."
    figure = f"{late} late" if late else "nothing late"
    address = reverse("jobs") + ("?overdue=on" if late else "?sort=due_on")
    return Answer("due", "Due", figure, line, address, late > 0)


def pipe_answer(found: Pipeline, ours: int) -> Answer:
    line = f"{_jobs(found.jobs)}, {ours} of them wait on us"
    return Answer("pipe", "In the pipe", money(found.value_usd), line, reverse("months"), False)


def cash_answer(open_rows: Sequence[Owed]) -> Answer:
    unpaid, late = _unpaid(open_rows)
    line = cash_line(open_rows, None)
    return Answer("cash", "Cash", f"{money(unpaid)} owed", line, reverse("cash"), late > 0, reverse("cash-next"))


def cash_line(open_rows: Sequence[Owed], expected: tuple[str, Decimal] | None) -> str:
    """``expected``: the next month with cash ahead, and how much."""
    _, late = _unpaid(open_rows)
    parts = [f"{money(late)} of it late"] if late else []
    if expected:
        parts.append(f"{money(expected[1])} expected in {expected[0]}")
    line = "; ".join(parts) or ("All of it within its days." if open_rows else "No invoice is open.")
    return line[:1].upper() + line[1:]


def _unpaid(open_rows: Sequence[Owed]) -> tuple[Decimal, Decimal]:
    """All that is open on invoices, and what of it is late."""
    late = sum((row.line.open_usd for row in open_rows if row.late_days > 0), Decimal(0))
    unpaid = sum((row.line.open_usd for row in open_rows), Decimal(0))
    return unpaid, late


def load_answer(weeks: Sequence[Week], people: Sequence[PersonLoad]) -> Answer:
    """The first overfull week of a crew; else whoever has most late jobs; else the fullest week."""
    address = reverse("crew-load")
    over = [(week, row) for week in weeks for row in week.crews if row.over]
    busiest = next((row for row in people if row.late and row.pk), None)
    late = f"{busiest.name} has {busiest.late} late of {_jobs(busiest.jobs)}" if busiest else ""
    if over:
        week, row = over[0]
        percent = f"{row.share * 100:.0f} %" if row.capacity_days else "on days off"
        line = f"in the week of {_day(week.monday)}" + (f"; {late}" if late else "")
        return Answer("load", "Overloaded", f"{row.crew} {percent}", line[:1].upper() + line[1:], address, True)
    if busiest:
        return Answer(
            "load", "Overloaded", busiest.name, f"{busiest.late} late of {_jobs(busiest.jobs)}", address, True
        )
    full = max(((row.share, row, week) for week in weeks for row in week.crews), key=lambda f: f[0], default=None)
    if full and full[0] >= FULL:
        line = f"{full[1].crew} is fullest: {full[0] * 100:.0f} % in the week of {_day(full[2].monday)}"
        return Answer("load", "Overloaded", "nobody", line, address, False)
    return Answer("load", "Overloaded", "nobody", "Every crew has room in every week.", address, False)


def why(row: Stuck) -> str:
    """ "Book the installation, 9 days late", "34 days in plan review, usually done within 21"."""
    parts = []
    if row.late_days:
        parts.append(f"{task(row.job.next_key, row.job.next_step)}, {_days(row.late_days)} late")
    if row.slow:
        told = f"{row.slow.leg.lower()} takes {_days(row.slow.days)}, nine in ten are done within {row.slow.usual_days}"
        parts.append(told)
    return "; ".join(parts)


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def _jobs(count: int) -> str:
    return "1 job" if count == 1 else f"{count} jobs"


def _day(day: date) -> str:
    return f"{day.day} {day:%b}"
