"""Everything of one job in one place: what was issued, sent, numbered, invoiced and written, and whom to ring."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from projects.queries.documents import documents_of
from projects.screens.access import job_or_404, office_only
from projects.screens.office.documents_contacts import contacts_of
from projects.screens.office.documents_line import Line
from projects.screens.office.documents_lines import evidence_lines, letter_lines, money_lines, paper_lines
from projects.screens.office.documents_permits import permit_lines
from projects.words import plain

LONGEST_SEARCH = 120
CONTACTS = "contacts"
SECTIONS = (
    ("papers", "Papers", "Issued papers", "No paper is issued yet."),
    ("pictures", "Pictures", "Photographs and what customers sent", "No photograph or file yet."),
    ("permits", "Permits", "Permits, utility and lender", "Nothing is submitted yet."),
    ("money", "Money", "Invoices and credit notes", "Nothing is invoiced yet."),
    ("letters", "Letters", "Letters by e-mail", "Nothing was written yet."),
)


@dataclass(frozen=True)
class Section:
    key: str
    short: str
    title: str
    nothing: str
    """Said where there is none yet."""
    found: tuple[Line, ...]


@office_only
@require_safe
def documents(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    all_of_it = documents_of(job)
    asked = " ".join(request.GET.get("within", "").replace("\x00", " ").split())[:LONGEST_SEARCH]
    wanted = plain(asked).split()
    contacts = contacts_of(all_of_it, job)
    lines = {
        "papers": paper_lines(all_of_it),
        "pictures": evidence_lines(all_of_it),
        "permits": permit_lines(all_of_it, job),
        "money": money_lines(all_of_it),
        "letters": letter_lines(all_of_it),
    }
    sections = [Section(key, *words, tuple(_found(lines[key], wanted))) for key, *words in SECTIONS]
    kind = request.GET.get("kind", "")
    if kind not in {CONTACTS, *(section.key for section in sections)}:
        kind = ""
    people = [contact for contact in contacts if contact.holds(wanted)]
    shown = [each for each in sections if kind in ("", each.key) and (each.found or not wanted)]
    context = {
        "nav": "jobs",
        "here": "documents",
        "job": job,
        "contacts": people if kind in ("", CONTACTS) else [],
        "sections": shown,
        "choices": [
            ("", "All", sum(len(each.found) for each in sections) + len(people)),
            *((each.key, each.short, len(each.found)) for each in sections),
            (CONTACTS, "Contacts", len(people)),
        ],
        "kind": kind,
        "asked": asked,
    }
    context["nothing_found"] = bool(wanted) and not shown and not context["contacts"]
    return render(request, "office/documents.html", context)


def _found(lines: Iterable[Line], wanted: list[str]) -> list[Line]:
    """A line whose earlier issue is what is looked for stays, unfolded."""
    kept = []
    for line in lines:
        if line.holds(wanted):
            kept.append(line)
        elif any(each.holds(wanted) for each in line.earlier):
            kept.append(replace(line, unfold=True))
    return kept
