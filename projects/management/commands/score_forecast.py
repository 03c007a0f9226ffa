"""Scores the forecast of dates on invented offices whose truth is known. Needs no database."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from projects.route.forecast.offices import KINDS
from projects.route.forecast.scoring import score


class Command(BaseCommand):
    help = (
        "Prints how often the forecast's 50 and 90 % ranges held what came true, and its score (CRPS in days, lower is "
        "better) beside two naive guesses: the median total of finished jobs, and the spread of their totals."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--offices", type=int, default=40, help="invented offices of each kind (40)")
        parser.add_argument("--seed", type=int, default=1, help="another number gives other offices (1)")

    def handle(self, *args: Any, offices: int, seed: int, **options: Any) -> None:
        self.stdout.write(
            f"{'offices':34}{'dates':>7}{'in 50 %':>10}{'in 90 %':>10}{'CRPS':>8}{'median':>9}{'spread':>9}   (days)"
        )
        for kind in KINDS:
            found = score(kind, offices, seed)
            self.stdout.write(
                f"{kind.name:34}{found.forecasts:7}{found.within50:10.1%}{found.within90:10.1%}"
                f"{found.crps_days:8.1f}{found.naive_crps_days:9.1f}{found.spread_crps_days:9.1f}"
            )
            self.stdout.flush()
