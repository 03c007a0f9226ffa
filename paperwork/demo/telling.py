"""Who tells a job's story, and what every chapter needs: the people, a photograph, an appointment."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from paperwork.demo.clock import weekday
from paperwork.demo.households import Household
from paperwork.demo.pictures import photo
from paperwork.demo.turns import Wanted
from projects.actions import evidence, scheduling
from projects.models import Job, Person

AHEAD = {
    "site_visit": timedelta(days=4),
    "installation": timedelta(days=7),
    "rough_in": timedelta(days=3),
    "final": timedelta(days=3),
}
"""From the booking to its day."""


class Telling:
    household: Household
    cast: dict[str, Any]
    today: date
    job: Job

    @property
    def office(self) -> Person:
        names = ("olive", "ben")
        return self.cast["people"][names[len(self.household.name) % 2]]

    @property
    def crew(self) -> Person:
        names = ("casey", "ramon")
        return self.cast["people"][names[len(self.household.street) % 2]]

    def _set_day(self, kind: str, day: date) -> None:
        """The office books ``kind`` on ``day``, for the crew whose turn it is."""
        self.set_day(kind, weekday(day + AHEAD[kind]))

    def set_day(self, kind: str, on: date) -> None:
        turn = self.cast["turns"][Wanted(self.household.name, self.household.town, kind, on)]
        scheduling.schedule(
            job=self.job,
            kind=kind,
            actor=self.office,
            on=on,
            crew=self.cast["crews"][turn.crew],
            starts_at=turn.starts_at,
            days=turn.days,
            despite=True,
        )

    def _photo(self, kind: str) -> None:
        evidence.add_photo(
            job=self.job, actor=self.crew, kind=kind, upload=photo(kind, f"{kind}, job {self.job.label}")
        )

    def handshake(self, day: date) -> None:
        """A day on which nothing is recorded: the story pauses here."""
