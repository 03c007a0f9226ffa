"""``python manage.py demo``: sets up the demo office and serves it. Jobs are loaded once; a second start is quick."""

from __future__ import annotations

import os
import sys

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser

from paperwork.demo import interrupted, links, load
from projects.models import Person


class Command(BaseCommand):
    help = "Sets up the demo office (invented people and jobs), prints the sign-ins and serves it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, default=8000, help="port to serve on (8000)")
        parser.add_argument("--load-only", action="store_true", help="load the office and stop")
        parser.add_argument("--without-jobs", action="store_true", help="an empty job book: people and catalogue only")

    def handle(self, *args, port: int, load_only: bool, without_jobs: bool, **options) -> None:
        if interrupted.is_going_on():
            raise CommandError("another start is loading the demo office at this moment: wait until it is through.")
        if interrupted.was_interrupted():
            self._start_over()
        call_command("migrate", verbosity=0, interactive=False)
        if Person.objects.exists():
            self.stdout.write("The job book is there already; nothing is loaded over it.")
        else:
            with interrupted.loading():
                self._load(without_jobs)
        if load_only:
            return
        self._sign_ins(port)
        # The reloader would run the command twice and hide a port that is taken.
        call_command("runserver", f"127.0.0.1:{port}", use_reloader=False, verbosity=0)

    def _load(self, without_jobs: bool) -> None:
        if without_jobs:
            load.people_and_catalogue(tell=self._tell)
        else:
            load.office(tell=self._tell, workers=min(4, os.cpu_count() or 1))

    def _start_over(self) -> None:
        kept = interrupted.set_aside()
        if kept is None:
            raise CommandError(
                "the last load of the demo office was interrupted, and the database holds a part of it. Give the demo "
                f"an empty database, or delete {interrupted.marker()} to go on with that part."
            )
        self._tell(f"The last load was interrupted; it starts over. What there was is kept in {kept}")

    def _tell(self, text: str) -> None:
        self.stdout.write(text)
        self.stdout.flush()

    def _sign_ins(self, port: int) -> None:
        self.stdout.write("")
        self.stdout.write(f"Rafterbook serves the demo office at http://127.0.0.1:{port}/")
        for name, role, page in load.SIGN_INS:
            self.stdout.write(f"  {name:8} {role:7} {page}")
        self.stdout.write(f"  password for all: {load.password()}")
        self.stdout.write(f"  a homeowner's request page, without sign-in: http://127.0.0.1:{port}/ask/")
        for link in links.customer_links(port):
            self.stdout.write(f"  a customer's page: {link}")
        if not settings.DEBUG:
            self.stdout.write("RAFTERBOOK_DEBUG is off: serve the files under static/ from your web server.")
        self.stdout.write("Stop with Ctrl-C.")
        sys.stdout.flush()
