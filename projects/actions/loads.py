"""The load worksheet: what the house runs, with watts, hours and motors."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from projects.actions.findings import Findings
from projects.actions.form_rows import saved_fields
from projects.actions.recording import recording
from projects.actions.roles import FIELD
from projects.models import Job, LoadLine, Person

MOST_WATTS = 100_000
MOST_LINES = 100


def save_load_line(*, job: Job, actor: Person, line_id: int | None = None, **fields: Any) -> LoadLine:
    """Adds a line, or changes the one with ``line_id``; ``fields`` are those of LoadLine."""
    with recording(job, actor, FIELD) as book:
        if line_id is None:
            line = LoadLine(job=job, order=job.load_lines.count())
        else:
            found = LoadLine.objects.filter(job=job, pk=line_id).first()
            if found is None:
                book.findings.add("line_id", "That line is no longer there.")
                book.findings.refuse()
            assert found is not None
            line = found
        changed = saved_fields(book.findings, line, fields)
        _check(book.findings, line)
        book.findings.refuse()
        if line.pk and not changed:
            book.unchanged()
            return line
        line.save()
        book.write("load_saved", name=line.name)
    return line


def remove_load_line(*, job: Job, actor: Person, line_id: int) -> None:
    with recording(job, actor, FIELD) as book:
        line = LoadLine.objects.filter(job=job, pk=line_id).first()
        if line is None:
            book.findings.add("line_id", "That line is no longer there.")
        book.findings.refuse()
        assert line is not None
        name = line.name
        line.delete()
        book.write("load_removed", name=name)


def set_loads(*, job: Job, actor: Person, lines: Sequence[Mapping[str, Any]]) -> list[LoadLine]:
    """Replaces the whole worksheet. Problems name "lines" with the line's number."""
    with recording(job, actor, FIELD) as book:
        if len(lines) > MOST_LINES:
            book.findings.add("lines", f"At most {MOST_LINES} lines.")
        rows = []
        for number, fields in enumerate(lines, start=1):
            line = LoadLine(job=job, order=number - 1)
            of_line = Findings()
            saved_fields(of_line, line, {key: value for key, value in fields.items() if key != "order"})
            _check(of_line, line)
            for problem in of_line.found:
                book.findings.add(
                    "lines", f"Line {number} ({line.name or 'no name'}), {problem.field}: {problem.message}"
                )
            rows.append(line)
        book.findings.refuse()
        job.load_lines.all().delete()
        LoadLine.objects.bulk_create(rows)
        book.write("loads_set", lines=len(rows))
    return list(job.load_lines.all())


def _check(findings: Findings, line: LoadLine) -> None:
    if isinstance(line.watts, int | float) and not 0 < line.watts <= MOST_WATTS:
        findings.add("watts", f"Running watts, above 0 and at most {MOST_WATTS}.")
    if isinstance(line.hours_per_day, int | float) and not 0 <= line.hours_per_day <= 24:
        findings.add("hours_per_day", "Between 0 and 24 hours.")
    if isinstance(line.count, int) and not 1 <= line.count <= 99:
        findings.add("count", "Between 1 and 99.")
    if any(not isinstance(month, int) or not 1 <= month <= 12 for month in line.months):
        findings.add("months", "Months are numbered 1 to 12.")
    if isinstance(line.voltage_v, int | float) and not 100 <= line.voltage_v <= 600:
        findings.add("voltage_v", "Volts, between 100 and 600.")
    for field in ("locked_rotor_a", "starting_w", "horsepower"):
        value = getattr(line, field)
        if value is not None and value <= 0:
            findings.add(field, "Above 0, or empty.")
    if line.code_letter and (len(line.code_letter) != 1 or line.code_letter.upper() not in "ABCDEFGHJKLMNPRSTUV"):
        findings.add("code_letter", "A motor's code letter, A to V (I, O and Q are not used).")
