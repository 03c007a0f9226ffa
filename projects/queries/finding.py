"""Finding anything of the office's by a few letters: jobs, their papers and permits, equipment, authorities, people.

Five queries at most, whatever is typed and however many jobs there are.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from django.db.models import CharField, Q, QuerySet, Value
from django.db.models.functions import Concat

from projects.models import (
    BatteryModel,
    GeneratorModel,
    InverterModel,
    Job,
    Jurisdiction,
    ModuleModel,
    PaperIssue,
    Permit,
    Person,
    SearchTerm,
    Utility,
)
from projects.models.search_term import LONGEST_TERM
from projects.queries.jobs import in_full, matches
from projects.words import plain, wanted_terms

LEAST_LETTERS = 2
JOBS_SHOWN, OTHERS_SHOWN = 8, 6
MORE_JOBS = 25
NUMBER = re.compile(r"0*(\d{1,8})")
PAPER_NUMBER = re.compile(r"0*(\d{1,8})-[A-Z]*(-\d*)?", re.IGNORECASE)
REGISTERS = (
    ("jurisdictions", Jurisdiction),
    ("utilities", Utility),
    ("modules", ModuleModel),
    ("inverters", InverterModel),
    ("batteries", BatteryModel),
    ("generators", GeneratorModel),
)


@dataclass(frozen=True)
class RegisterLine:
    """A line of the office's registers: its noun, as in the address of its page, its key and its name."""

    noun: str
    pk: int
    name: str


@dataclass(frozen=True)
class Found:
    text: str
    jobs: tuple[Job, ...] = ()
    """A job of exactly this number first, then the newest."""
    more_jobs: bool = False
    permits: tuple[Permit, ...] = ()
    """Of the jobs shown, those whose own number was looked for."""
    papers: tuple[PaperIssue, ...] = ()
    registers: tuple[RegisterLine, ...] = ()

    @property
    def count(self) -> int:
        return len(self.jobs) + len(self.papers) + len(self.registers)

    @property
    def permit_of(self) -> dict[int, Permit]:
        return {permit.job_id: permit for permit in self.permits}


def find(text: str, *, jobs_shown: int = JOBS_SHOWN) -> Found:
    """What the words begin; nothing for fewer than two letters."""
    text = " ".join(text.replace("\x00", " ").split())[:120]
    terms = wanted_terms(text, LONGEST_TERM)
    if not terms or (len(text) < LEAST_LETTERS and not text.isdecimal()):
        return Found(text)
    found = _jobs(text, jobs_shown)
    jobs = found[:jobs_shown]
    return Found(
        text=text,
        jobs=tuple(jobs),
        more_jobs=len(found) > jobs_shown,
        permits=tuple(_permits(jobs, terms)),
        papers=tuple(_papers(text)),
        registers=tuple(_registers(text)),
    )


def _jobs(text: str, shown: int) -> list[Job]:
    newest: QuerySet[SearchTerm] = matches(text).order_by("-job").values_list("job", flat=True).distinct()
    wanted = Q(pk__in=list(newest[: shown + 1]))
    exact = int(match[1]) if (match := NUMBER.fullmatch(text)) else None
    if exact is not None:
        wanted |= Q(number=exact)
    jobs = in_full().filter(wanted).order_by()
    return sorted(jobs, key=lambda job: (job.number != exact, -job.pk))


def _permits(jobs: list[Job], terms: list[str]) -> list[Permit]:
    permits = Permit.objects.filter(job__in=jobs).exclude(number="")
    return [each for each in permits if any(plain(each.number).startswith(term) for term in terms if len(term) > 2)]


def _papers(text: str) -> list[PaperIssue]:
    """By number, "0147-FL-2" or its beginning: it begins with the job's."""
    match = PAPER_NUMBER.fullmatch(text)
    if match is None:
        return []
    papers = PaperIssue.objects.filter(job__number=int(match[1]), number__istartswith=text)
    return list(papers.select_related("job__customer").order_by("-pk")[:OTHERS_SHOWN])


def _registers(text: str) -> list[RegisterLine]:
    words = text.split()
    lines = []
    for noun, model in REGISTERS:
        rows = model.objects.order_by()
        for word in words:
            rows = rows.filter(name__icontains=word)
        lines.append(rows.values_list(Value(noun, CharField()), "pk", "name"))
    name = Concat("first_name", Value(" "), "last_name", output_field=CharField())
    people = Person.objects.filter(is_active=True).order_by().annotate(called=name)
    for word in words:
        people = people.filter(Q(called__icontains=word) | Q(username__icontains=word))
    lines.append(people.values_list(Value("people", CharField()), "pk", "called"))
    return [RegisterLine(*row) for row in lines[0].union(*lines[1:], all=True)[:OTHERS_SHOWN]]
