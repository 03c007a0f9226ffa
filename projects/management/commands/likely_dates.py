"""Forecasts every waiting job anew where something has happened since: for the night, so that no page has to."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from projects.queries.likely import freshen, waiting_jobs


class Command(BaseCommand):
    help = "Brings the kept likely dates of all waiting jobs up to date (pages do it for what they show)."

    def handle(self, *args: Any, **options: Any) -> None:
        made = freshen(most=None)
        self.stdout.write(f"{made} of {waiting_jobs().count()} waiting jobs forecast anew")
