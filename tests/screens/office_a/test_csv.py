"""The job list as a CSV file."""

from __future__ import annotations

import csv
import io
from decimal import Decimal

import pytest
from django.urls import reverse

from projects.actions import office as desk
from projects.screens.office.exports import HEADINGS
from projects.sheets.writing import BOM, safe
from tests.factories import lead, office_person

pytestmark = pytest.mark.django_db


def rows(client, **asked) -> list[dict[str, str]]:
    response = client.get(reverse("jobs-csv"), asked)
    assert response.status_code == 200
    assert response.streaming
    assert response["Content-Type"] == "text/csv; charset=utf-8"
    assert "attachment" in response["Content-Disposition"]
    text = b"".join(response.streaming_content).decode()
    assert text.startswith(BOM)
    return list(csv.DictReader(io.StringIO(text.removeprefix(BOM))))


def test_the_file_has_every_filtered_job_not_one_page(office):
    for n in range(30):
        lead(name=f"Household-{n}", street=f"{n} Spartina Lane", days_ago=1)
    assert len(rows(office)) == 30
    assert [row["name"] for row in rows(office, q="household-7")] == ["Household-7"]


def test_a_row_has_the_job_in_plain_values(office):
    job = lead(name="Señora Núñez 🌊")
    desk.set_price(job=job, actor=office_person(), price_usd=Decimal("38420.50"))
    [row] = rows(office)
    assert tuple(row) == HEADINGS
    assert row["job"] == job.label
    assert row["name"] == "Señora Núñez 🌊"
    assert row["street"] == "12 Spartina Lane"
    assert row["price (USD)"] == "38420.50"
    assert row["stage"] == "Lead"


@pytest.mark.parametrize(
    "typed", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =cmd|' /C calc'!A0", "＝1+1", '=HYPERLINK("http://x")']
)
def test_a_cell_never_starts_a_formula(typed):
    """The starts named by OWASP's page "CSV Injection" (from memory), and their full-width twins."""
    assert safe(typed) == f"'{typed}"


@pytest.mark.parametrize("typed", ["", None, "Harrow", "12 = 12", "5-7 Pier Street", 38420])
def test_other_cells_stay_as_they_are(typed):
    assert safe(typed) == ("" if typed is None else str(typed))


def test_a_household_named_like_a_formula_is_harmless_and_quoted(office):
    lead(name='=HYPERLINK("http://evil.example","x"), "q"', phone="+1 252 555 0117")
    [row] = rows(office)
    assert row["name"].startswith("'=")
    assert row["phone"].startswith("'+1")


def test_the_file_takes_a_constant_number_of_queries(office, django_assert_max_num_queries):
    for n in range(12):
        lead(name=f"Household {n}", street=f"{n} Spartina Lane", days_ago=1)
    with django_assert_max_num_queries(8):
        assert len(rows(office)) == 12
