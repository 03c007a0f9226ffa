"""A file of ten thousand leads, two hundred of them bad: in under a minute, and every bad row named."""

from __future__ import annotations

import time

import pytest

from projects.actions import importing
from projects.models import Job, LeadImport
from tests.factories import office_person
from tests.pace import slowness
from tests.screens.office_a.test_import import csv_bytes

pytestmark = [pytest.mark.django_db, pytest.mark.speed]

ROWS = 10_000
EVERY = 50
"""Each fiftieth row has something wrong."""
WRONG = (
    ("Price", "lots"),
    ("Email", "ada@"),
    ("Zip", "00000"),
    ("Date", "the other day"),
    ("Annual kWh", "-5"),
)


def _row(number: int) -> tuple[str, ...]:
    cells = {
        "ID": f"A-{number}",
        "Customer": f"Household {number}",
        "Telephone": f"252{number:07d}",
        "Email": f"h{number}@mail.example",
        "Address": f"{number} Reed Row",
        "Zip": "28557",
        "Date": "11/20/2025",
        "Price": "$38,420.50",
        "Annual kWh": "9,600",
    }
    if number % EVERY == 0:
        column, wrong = WRONG[number // EVERY % len(WRONG)]
        cells[column] = wrong
    return tuple(cells.values())


def test_ten_thousand_rows_come_in_within_a_minute_and_two_hundred_bad_ones_are_named() -> None:
    data = csv_bytes(*(_row(number) for number in range(1, ROWS + 1)))
    clerk = office_person()
    before, began = slowness(), time.perf_counter()
    batch = importing.begin_import(actor=clerk, data=data, filename="old.csv")
    columns = {int(place): key for place, key in batch.columns.items()}
    batch = importing.try_import(actor=clerk, lead_import=batch, columns=columns)
    bad = {number for number in range(1, ROWS + 1) if number % EVERY == 0}
    # The file's first row holds the headings.
    assert {row for row, *_ in batch.problems} == {number + 1 for number in bad}
    for row, heading, cell, words in batch.problems:
        assert (heading, cell) == WRONG[(row - 1) // EVERY % len(WRONG)]
        assert words
    assert batch.ready == ROWS - len(bad)
    while batch.state != LeadImport.State.DONE:
        importing.bring_in(actor=clerk, lead_import=batch)
    taken_s = (time.perf_counter() - began) / max(before, slowness())
    assert (batch.opened, Job.objects.count()) == (ROWS - 200, ROWS - 200)
    assert taken_s < 60, f"{taken_s:.1f} s"
