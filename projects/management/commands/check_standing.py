"""Proves that the cached standing of every job is what its facts say."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from projects.actions.standing import disagreements, mend, turn_day
from projects.models import Job

BATCH = 200


class Command(BaseCommand):
    help = (
        "Recomputes every job's standing from its facts and reports where the cached one differs. "
        "--mend writes the recomputed one. What merely fell due since the last fact is refreshed first and is no "
        "disagreement."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--mend", action="store_true", help="write the recomputed standing")

    def handle(self, *args: Any, **options: Any) -> None:
        turned = turn_day()
        checked = wrong = 0
        for jobs in _batches():
            checked += len(jobs)
            for job, wanted in disagreements(jobs):
                wrong += 1
                for column, value in wanted.items():
                    if getattr(job, column) != value:
                        self.stdout.write(f"{job.label}: {column} is {getattr(job, column)!r}, should be {value!r}")
                if options["mend"]:
                    mend(job)
        self.stdout.write(f"{checked} jobs checked, {turned} looked at again since the day turned, {wrong} disagree.")
        if wrong and not options["mend"]:
            raise CommandError("The cached standing and the facts disagree; --mend writes the recomputed one.")


def _batches() -> Iterator[list[Job]]:
    last = 0
    while True:
        jobs = list(Job.objects.select_related("customer", "site").filter(pk__gt=last).order_by("pk")[:BATCH])
        if not jobs:
            return
        last = jobs[-1].pk
        yield jobs
