"""``python manage.py send_mail``: sends what waits in the outbox; for a timer, every few minutes."""

from __future__ import annotations

import sys

from django.core.management.base import BaseCommand

from projects.mail.sending import send_waiting


class Command(BaseCommand):
    help = "Sends the e-mail that waits in the outbox. Exit code 1 where a letter could not be sent for good."

    def handle(self, *args, **options) -> None:
        tally = send_waiting()
        self.stdout.write(
            f"{tally.sent} sent, {tally.waiting} wait for another try, {tally.stopped} stopped, {tally.failed} failed"
        )
        if tally.failed:
            sys.exit(1)
