"""A file of leads comes in: columns named, tried without writing, brought in by the same intake as a call.

Brought in slice by slice, each in one transaction with the mark of how far it came: whoever is interrupted goes on
where it stopped. Safe to repeat: a row is known by the file's own number, or else by what it says.
"""

from __future__ import annotations

from collections.abc import Mapping

from django.db import transaction
from django.utils import timezone

from projects.actions import opening
from projects.actions.findings import Findings
from projects.actions.import_rows import Reader, Row
from projects.actions.lead_columns import BY_KEY, guessed, missing
from projects.actions.problems import Problem, Problems
from projects.actions.roles import OFFICE, require
from projects.models import ImportedLead, LeadImport, Person
from projects.sheets import Unreadable, read_table

SLICE = 500
State = LeadImport.State


def begin_import(*, actor: Person, data: bytes, filename: str) -> LeadImport:
    """Reads the file and guesses what its columns hold; nothing comes in yet."""
    require(actor, OFFICE)
    try:
        table = read_table(data, filename)
    except Unreadable as error:
        raise Problems([Problem("upload", str(error))]) from error
    return LeadImport.objects.create(
        filename=filename[-120:] or "table",
        uploaded_by=actor,
        headings=list(table.headings),
        rows=[[number, list(cells)] for number, cells in table.rows],
        row_count=len(table.rows),
        columns={str(place): key for place, key in guessed(table.headings).items()},
    )


def try_import(
    *,
    actor: Person,
    lead_import: LeadImport,
    columns: Mapping[int, str],
    source: str = "",
    origin: str = "",
    known_too: bool = False,
) -> LeadImport:
    """Goes through all rows as bringing them in would, and writes down what came of it; no job is opened.

    ``columns``: key of ``lead_columns`` by place; a column that isn't named is left out.
    """
    require(actor, OFFICE)
    with transaction.atomic():
        batch = LeadImport.objects.select_for_update().get(pk=lead_import.pk)
        findings = Findings()
        if batch.state not in (State.MAPPING, State.CHECKED):
            findings.add("", "This file is being brought in already.")
        _check_columns(findings, columns, len(batch.headings))
        if len(source.strip()) > 40:
            findings.add("source", "At most 40 characters.")
        if len(origin.strip()) > 40:
            findings.add("origin", "At most 40 characters.")
        findings.refuse()
        batch.columns = {str(place): key for place, key in columns.items()}
        batch.source, batch.origin, batch.known_too = source.strip(), origin.strip(), known_too
        rows = Reader(batch).read(batch.rows)
        batch.problems = [list(each) for row in rows for each in row.problems]
        batch.known = [[row.number, row.known] for row in rows if row.known and not row.problems]
        batch.repeated = sum(1 for row in rows if row.repeated)
        batch.ready = sum(1 for row in rows if row.comes_in)
        batch.state, batch.place = State.CHECKED, 0
        batch.save()
    lead_import.refresh_from_db()
    return lead_import


def bring_in(*, actor: Person, lead_import: LeadImport, most_rows: int = SLICE) -> LeadImport:
    """Opens the jobs of the next rows: call again until its state is "done". Bad rows are left out and stay named."""
    require(actor, OFFICE)
    with transaction.atomic():
        batch = LeadImport.objects.select_for_update().get(pk=lead_import.pk)
        if batch.state == State.MAPPING:
            raise Problems([Problem("", "Try the file first.")])
        if batch.state != State.DONE:
            if batch.state == State.CHECKED:
                batch.state, batch.problems, batch.known, batch.repeated = State.RUNNING, [], [], 0
            _slice(batch, actor, most_rows)
    lead_import.refresh_from_db()
    return lead_import


def discard_import(*, actor: Person, lead_import: LeadImport) -> None:
    """Throws away a file of which nothing came in."""
    require(actor, OFFICE)
    gone, _ = LeadImport.objects.filter(pk=lead_import.pk, state__in=(State.MAPPING, State.CHECKED)).delete()
    if not gone:
        raise Problems([Problem("", "Some of it has come in already; it stays for the record.")])


def _slice(batch: LeadImport, actor: Person, most_rows: int) -> None:
    start, stop = batch.place, min(batch.place + most_rows, len(batch.rows))
    # On PostgreSQL the row lock keeps a second one out; on SQLite its transaction does. The unique keys catch the rest.
    rows = Reader(batch).read(batch.rows[start:stop])
    good = [row for row in rows if row.comes_in]
    jobs = opening.open_jobs([row.lead for row in good if row.lead], actor, lead_import=batch.pk)
    ImportedLead.objects.bulk_create(
        ImportedLead(key=row.key, lead_import=batch, row=row.number, job=job)
        for row, job in zip(good, jobs, strict=True)
    )
    batch.problems += [list(each) for row in rows for each in row.problems]
    batch.known += [[row.number, row.known] for row in rows if row.known and not row.problems]
    batch.repeated += sum(1 for row in rows if row.repeated)
    batch.opened += len(jobs)
    batch.place = stop
    changed = ["state", "problems", "known", "repeated", "opened", "place", "finished_at"]
    if stop == len(batch.rows):
        batch.state, batch.finished_at = State.DONE, timezone.now()
        _keep_what_was_left_out(batch)
        changed.append("rows")
    batch.save(update_fields=changed)


def _keep_what_was_left_out(batch: LeadImport) -> None:
    left_out = {each[0] for each in (*batch.problems, *batch.known)}
    batch.rows = [row for row in batch.rows if row[0] in left_out]


def _check_columns(findings: Findings, columns: Mapping[int, str], count: int) -> None:
    named: dict[str, int] = {}
    for place, key in columns.items():
        if key not in BY_KEY or not 0 <= place < count:
            findings.add(f"column_{place}", "Choose what this column holds.")
        elif key in named:
            findings.add(f"column_{place}", f"Another column holds “{BY_KEY[key].title}” already.")
        else:
            named[key] = place
    findings.extend("", missing(frozenset(named)))


__all__ = ["Row", "begin_import", "bring_in", "discard_import", "try_import"]
