"""``python manage.py digest``: the morning's letter to the office; for a timer, once each working day."""

from __future__ import annotations

from django.core.management.base import BaseCommand, CommandError, CommandParser

from projects.mail.digest import send_digests
from projects.mail.sending import send_waiting
from projects.models import Person


class Command(BaseCommand):
    help = "Sends everybody of the office who has an e-mail address what is due today, late and stuck. Once a day."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--to", action="append", metavar="NAME", help="sign-in name of a reader; may be repeated")

    def handle(self, *args, to: list[str] | None = None, **options) -> None:
        people = None
        if to:
            people = Person.objects.filter(username__in=to)
            unknown = sorted(set(to) - set(people.values_list("username", flat=True)))
            if unknown:
                raise CommandError(f"Nobody signs in as {', '.join(unknown)}.")
        tally = send_digests(people)
        sent = send_waiting()
        self.stdout.write(
            f"{tally['queued']} written, {tally['quiet']} with nothing to say, {tally['again']} written already today; "
            f"{sent.sent} letters sent, {sent.waiting} wait for another try, {sent.failed} failed"
        )
