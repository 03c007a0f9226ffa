"""Collects every reason against an action, so that the screen shows all of them at once."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.utils import timezone
from django.utils.formats import date_format

from projects.actions.problems import Problem, Problems
from projects.models import Job


def today() -> date:
    """The office's date: deadlines are kept in its time zone, not in UTC."""
    return timezone.localdate()


def in_words(day: date) -> str:
    return date_format(day, "j M Y")


class Findings:
    def __init__(self) -> None:
        self.found: list[Problem] = []

    def add(self, field: str, message: str) -> None:
        problem = Problem(field, message)
        if problem not in self.found:
            self.found.append(problem)

    def extend(self, field: str, messages: Iterable[str]) -> None:
        for message in messages:
            self.add(field, message)

    def need(self, field: str, value: object, message: str) -> bool:
        """False, and a problem, where the value is missing (blank text counts as missing)."""
        missing = value is None or (isinstance(value, str) and not value.strip()) or value == []
        if missing:
            self.add(field, message)
        return not missing

    def happened(self, job: Job, on: date | None, field: str = "on") -> bool:
        """A fact happened: not in the future, and not before the lead came in."""
        if on is None:
            self.add(field, "Give the day.")
            return False
        if on > today():
            self.add(field, "This day has not come yet.")
            return False
        return self.not_before(on, timezone.localdate(job.received_at), "the lead came in", field)

    def booking(self, job: Job, on: date | None, field: str = "on") -> bool:
        """A booking may lie ahead, but not before the lead."""
        if on is None:
            self.add(field, "Give the day.")
            return False
        if (on - today()).days > 730:
            self.add(field, "That is more than two years ahead.")
            return False
        return self.not_before(on, timezone.localdate(job.received_at), "the lead came in", field)

    def not_before(self, on: date | None, earlier: date | None, what: str, field: str = "on") -> bool:
        if on is not None and earlier is not None and on < earlier:
            self.add(field, f"Before {what} ({in_words(earlier)}).")
            return False
        return True

    def refuse(self) -> None:
        """Raises Problems where anything was found."""
        if self.found:
            raise Problems(self.found)
