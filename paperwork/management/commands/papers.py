"""``python manage.py papers JOB --out FOLDER``: every paper that the job can have now, as files.

Without ``--issue-as`` they are previews: marked as such, and nothing is recorded. Invoices and credit notes that went
out are copied. Exit codes: 0 every paper was written, 1 the command couldn't run, 3 some papers can't be written yet
(each is named with its reasons).
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from paperwork.batch import kinds_of
from paperwork.issue import draft, issue_paper
from paperwork.kinds import KINDS, MONEY_PAPERS, PaperKind
from paperwork.models import IssuedPaper
from projects.actions.problems import NotAllowed, Problems
from projects.models import Job, Person

INCOMPLETE = 3


class Command(BaseCommand):
    help = "Writes every paper that a job can have now into a folder, and names those that it can't with the reason."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("job", type=int, help="the job's number, such as 147 or 0147")
        parser.add_argument("--out", type=Path, required=True, help="folder for the files; made where it is missing")
        parser.add_argument("--kind", action="append", help="only this kind (first_look, single_line, ...); repeatable")
        parser.add_argument("--issue-as", metavar="USERNAME", help="issue the papers in this person's name")

    def handle(self, *args: Any, job: int, out: Path, kind: list[str] | None, **options: Any) -> None:
        found = Job.objects.filter(number=job).first()
        if found is None:
            raise CommandError(f"There is no job {job:04d}.")
        chosen = _chosen(found, kind)
        actor = _actor(options["issue_as"])
        try:
            out.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise CommandError(f"{out}: {problem.strerror}.") from None
        refused = [one.key for one in chosen if not self._written(found, one, out, actor)]
        if kind is None:
            self._copied(found, out)
        self.stdout.write(f"{len(chosen) - len(refused)} of {len(chosen)} papers of job {found.label} are in {out}.")
        if refused:
            sys.exit(INCOMPLETE)

    def _copied(self, job: Job, out: Path) -> None:
        """Invoices and credit notes belong to the book of money: those issued are copied, none is made here."""
        for paper in IssuedPaper.objects.filter(job=job, kind__in=MONEY_PAPERS):
            _put(out / paper.file_name, bytes(paper.content))
            self.stdout.write(f"{paper.file_name:<24} {KINDS[paper.kind].title}, as it was issued")

    def _written(self, job: Job, kind: PaperKind, out: Path, actor: Person | None) -> bool:
        start = time.perf_counter()
        try:
            if actor is None:
                name, pdf = f"{job.label}-{kind.code}-preview.pdf", draft(job=job, kind=kind.key)
                content, pages = pdf.content, pdf.pages
            else:
                paper = issue_paper(job=job, kind=kind.key, actor=actor)
                name, content, pages = paper.file_name, bytes(paper.content), paper.pages
        except NotAllowed as problem:
            raise CommandError(str(problem)) from None
        except Problems as problems:
            self.stdout.write(f"not written: {kind.title}")
            for problem in problems:
                self.stdout.write(f"    {problem.message}")
            return False
        _put(out / name, content)
        took = time.perf_counter() - start
        self.stdout.write(f"{name:<24} {kind.title}, {pages} page{'' if pages == 1 else 's'}, {took:.2f} s")
        return True


def _put(file: Path, content: bytes) -> None:
    try:
        file.write_bytes(content)
    except OSError as problem:
        raise CommandError(f"{file}: {problem.strerror}.") from None


def _chosen(job: Job, wanted: list[str] | None) -> list[PaperKind]:
    kinds = kinds_of(job)
    if not wanted:
        return kinds
    known = {kind.key: kind for kind in kinds}
    if strange := [key for key in wanted if key not in known]:
        raise CommandError(f"Job {job.label} has no paper {', '.join(strange)}; it has {', '.join(known)}.")
    return [known[key] for key in dict.fromkeys(wanted)]


def _actor(username: str | None) -> Person | None:
    if username is None:
        return None
    person = Person.objects.filter(username=username, is_active=True).first()
    if person is None:
        raise CommandError(f"Nobody signs in as {username}.")
    return person
