"""Files of leads: named, tried, brought in once; files of jobs: out and in again."""

from __future__ import annotations

import csv
import io
import zipfile
from datetime import date
from decimal import Decimal

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from projects.actions import importing
from projects.actions import office as desk
from projects.models import Customer, ImportedLead, Job, JournalEntry, LeadImport
from projects.sheets import Unreadable, read_table, xlsx_bytes
from projects.sheets.writing import FORMULA_STARTS
from tests.factories import lead, office_person

pytestmark = pytest.mark.django_db

HEADINGS = ("ID", "Customer", "Telephone", "Email", "Address", "Zip", "Date", "Price", "Annual kWh")
GOOD = (
    "A-1",
    "Ada Tern",
    "(252) 555-0101",
    "ada@mail.example",
    "1 Reed Row",
    "28557",
    "11/20/2025",
    "$38,420.50",
    "9,600",
)


def csv_bytes(*rows: tuple[str, ...], headings: tuple[str, ...] = HEADINGS) -> bytes:
    out = io.StringIO()
    csv.writer(out).writerows([headings, *rows])
    return out.getvalue().encode()


def changed(**cells: str) -> tuple[str, ...]:
    """``GOOD`` as another household's row."""
    row = dict(zip(HEADINGS, GOOD, strict=True))
    row |= {"ID": "A-2", "Customer": "Bo Wren", "Telephone": "252 555 0102", "Email": ""} | cells
    return tuple(row.values())


def begun(data: bytes, filename: str = "old.csv") -> LeadImport:
    return importing.begin_import(actor=office_person(), data=data, filename=filename)


def tried(data: bytes, **options) -> LeadImport:
    batch = begun(data)
    columns = {int(place): key for place, key in batch.columns.items()}
    return importing.try_import(actor=office_person(), lead_import=batch, columns=columns, **options)


def brought_in(data: bytes, *, most_rows: int = 500, **options) -> LeadImport:
    batch = tried(data, **options)
    while batch.state != LeadImport.State.DONE:
        importing.bring_in(actor=office_person(), lead_import=batch, most_rows=most_rows)
    return batch


def test_a_row_becomes_the_lead_that_a_call_would_have_become():
    batch = brought_in(csv_bytes(GOOD))
    assert (batch.opened, batch.problems, batch.known) == (1, [], [])
    job = Job.objects.get()
    assert (job.customer.name, job.customer.email, job.customer.phone_digits) == (
        "Ada Tern", "ada@mail.example", "2525550101",
    )  # fmt: skip
    assert (job.site.street, job.site.state, job.site.zip_code) == ("1 Reed Row", "NC", "28557")
    assert job.site.city
    assert (timezone.localdate(job.received_at), job.price_usd) == (date(2025, 11, 20), Decimal("38420.50"))
    assert job.answers.yearly_kwh == 9600
    assert (job.stage, job.next_key) == ("lead", "answers")  # a list of addresses says nothing of what must run
    kinds = set(JournalEntry.objects.filter(job=job).values_list("kind", flat=True))
    assert kinds == {"lead_received", "price_set"}
    assert ImportedLead.objects.get().job == job


BAD = {
    "Customer": ("", "Give a name."),
    "Telephone": ("12", "ten digits"),
    "Email": ("ada@", "no e-mail address"),
    "Address": ("", "street"),
    "Zip": ("00000", "No place known here"),
    "Date": ("20.11.2025", "A day is expected"),
    "Price": ("lots", "An amount in dollars"),
    "Annual kWh": ("-5", "above 0"),
}


@pytest.mark.parametrize("heading", BAD)
def test_a_bad_cell_is_named_by_row_column_value_and_reason_and_its_row_left_out(heading):
    cell, why = BAD[heading]
    batch = tried(csv_bytes(GOOD, changed(**{heading: cell})))
    [(row, column, there, words)] = batch.problems
    assert (row, column, there) == (3, heading, cell)
    assert why in words
    assert batch.ready == 1
    assert not Job.objects.exists()
    importing.bring_in(actor=office_person(), lead_import=batch)
    assert [job.customer.name for job in Job.objects.all()] == ["Ada Tern"]
    assert [tuple(each[:2]) for each in batch.problems] == [(3, heading)]
    assert [number for number, _ in batch.rows] == [3]


def test_the_same_file_again_opens_nothing_and_a_longer_one_only_what_is_new():
    brought_in(csv_bytes(GOOD))
    again = brought_in(csv_bytes(GOOD, changed()))
    assert (again.opened, again.repeated) == (1, 1)
    assert Job.objects.count() == 2
    third = brought_in(csv_bytes(GOOD, changed()))
    assert (third.opened, third.repeated) == (0, 2)


def test_without_numbers_of_its_own_a_row_is_known_by_what_it_says():
    headings, row = HEADINGS[1:], GOOD[1:]
    assert brought_in(csv_bytes(row, headings=headings)).opened == 1
    assert brought_in(csv_bytes(row, headings=headings)).repeated == 1
    assert Job.objects.count() == 1


def test_the_same_number_from_elsewhere_is_another_household():
    brought_in(csv_bytes(GOOD), origin="old list")
    other = changed(ID="A-1")
    assert brought_in(csv_bytes(other), origin="fair").opened == 1
    assert brought_in(csv_bytes(other), origin="old list").repeated == 1


@pytest.mark.parametrize(
    ("cells", "by"),
    [
        ({"Telephone": "1-252-555-0101"}, "The same phone"),
        ({"Email": "ADA@mail.example"}, "The same e-mail"),
        ({"Customer": "ada  TERN"}, "The same name and ZIP"),
    ],
)
@pytest.mark.parametrize("most_rows", [1, 500])
def test_a_household_that_seems_to_be_known_stays_out_unless_asked_for(cells, by, most_rows):
    data = csv_bytes(GOOD, changed(**cells))
    assert [words for _, words in tried(data).known] == [f"{by} as row 2"]
    batch = brought_in(data, most_rows=most_rows)
    assert batch.opened == 1
    [(row, words)] = batch.known
    assert (row, words.rpartition(" as ")[0]) == (3, by)
    assert brought_in(data, known_too=True).opened == 1
    assert Job.objects.count() == 2


def test_the_same_number_twice_in_one_file_is_an_error_of_the_second_row():
    for most_rows in (1, 500):
        batch = brought_in(csv_bytes(GOOD, changed(ID="A-1")), most_rows=most_rows)
        assert [tuple(each) for each in batch.problems if each[0] == 3] == [
            (3, "ID", "A-1", "The same stands in row 2 already.")
        ] or batch.repeated == 2  # the second time round both are known by their number
    assert Job.objects.count() == 1


def test_what_is_half_in_goes_on_where_it_stopped():
    rows = [changed(ID=f"B-{n}", Customer=f"House {n}", Telephone=f"25255502{n:02d}") for n in range(7)]
    batch = tried(csv_bytes(*rows))
    importing.bring_in(actor=office_person(), lead_import=batch, most_rows=3)
    assert (batch.state, batch.place, Job.objects.count()) == ("running", 3, 3)
    with pytest.raises(importing.Problems):
        importing.discard_import(actor=office_person(), lead_import=batch)
    for _ in range(2):
        importing.bring_in(actor=office_person(), lead_import=batch, most_rows=3)
    assert (batch.state, batch.opened, Job.objects.count()) == ("done", 7, 7)
    importing.bring_in(actor=office_person(), lead_import=batch)
    assert Job.objects.count() == 7
    assert [job.number for job in Job.objects.order_by("pk")] == sorted(Job.objects.values_list("number", flat=True))


def test_it_takes_no_more_queries_for_more_rows(django_assert_max_num_queries):
    rows = [changed(ID=f"B-{n}", Customer=f"House {n}", Telephone=f"25255{n:05d}") for n in range(120)]
    batch = tried(csv_bytes(*rows))
    with django_assert_max_num_queries(75 + 120):  # one update each for the standing
        importing.bring_in(actor=office_person(), lead_import=batch)
    assert Job.objects.count() == 120


@pytest.mark.parametrize(
    ("data", "filename", "why"),
    [
        (b"", "a.csv", "empty"),
        (b"\n\n", "a.csv", "nothing in it"),
        (b"Name,Street\n", "a.csv", "no row below"),
        (b"Name,Street\nA,B,C\n", "a.csv", "3 cells"),
        (b"Name\n\x00\n", "a.csv", "no text"),
        (b'Name,Street\n"A,B\n', "a.csv", "can't be read as a table"),
        (b"PK\x03\x04 and no archive", "a.xlsx", "can't be opened"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a.xls", "old kind"),
        (b"Name;Street\n", "a.xlsx", "is none"),
    ],
)
def test_a_file_that_is_no_table_is_refused_in_words(data, filename, why):
    with pytest.raises(Unreadable, match=why):
        read_table(data, filename)


def test_a_workbook_with_entities_is_refused():
    """An entity that expands is how a small XML file fills the memory ("billion laughs"); no workbook has any."""
    workbook = xlsx_bytes("Jobs", ["Name"], [["Ada"]])
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook)) as good, zipfile.ZipFile(out, "w") as bad:
        for name in good.namelist():
            part = good.read(name)
            if name == "xl/workbook.xml":
                part = b'<!DOCTYPE w [<!ENTITY a "lol">]>' + part.split(b"?>", 1)[-1]
            bad.writestr(name, part)
    with pytest.raises(Unreadable, match="can't be opened"):
        read_table(out.getvalue(), "a.xlsx")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_tables_of_every_delimiter_and_encoding_are_read(encoding, delimiter):
    text = delimiter.join(["Name", "Street"]) + "\r\n" + delimiter.join(['"Núñez, Ñ"', "1 Reed Row"]) + "\r\n"
    assert read_table(text.encode(encoding), "a.csv").rows == ((2, ("Núñez, Ñ", "1 Reed Row")),)


def test_a_workbook_is_read_as_a_person_would_write_it():
    rows = [
        ["Ada", 2139, date(2025, 11, 20), Decimal("38420.5"), None],
        [None] * 5,
        ["Bo", "28557", None, 9600.0, True],
    ]
    table = read_table(xlsx_bytes("Jobs", ["Name", "ZIP", "Came in", "Price", "Loan"], rows), "a.xlsx")
    assert table.rows == (
        (2, ("Ada", "2139", "2025-11-20", "38420.5", "")),
        (4, ("Bo", "28557", "", "9600", "yes")),
    )


def test_no_cell_of_a_workbook_is_a_formula():
    typed = [f"{start}1+1" for start in FORMULA_STARTS] + [" =1+1", "plain", "5-7 Pier Street"]
    book = openpyxl.load_workbook(io.BytesIO(xlsx_bytes("Jobs", ["Name"], [[text] for text in typed])))
    cells = [row[0] for row in book.active.iter_rows(min_row=2)]
    assert {cell.data_type for cell in cells} == {"s"}
    assert [cell.value.strip() for cell in cells] == [text.strip() for text in typed]
    assert [bool(cell.quotePrefix) for cell in cells] == [True] * (len(typed) - 2) + [False] * 2


@pytest.mark.parametrize("name", ["jobs-csv", "jobs-xlsx"])
def test_the_list_taken_along_comes_back_as_the_same_households(office, name):
    """Out of one book and into another."""
    typed = [
        {"name": "Señora Núñez", "phone": "+1 252 555 0103", "email": "", "street": "=5 Reed Row"},
        {"name": "@Home, Inc.", "phone": "", "email": "at@home.example", "street": "-7 Pier Street"},
    ]
    for each in typed:
        job = lead(**each)
        desk.set_price(job=job, actor=office_person(), price_usd=Decimal("38420.50"))
        desk.assign(job=job, person=office_person(), actor=office_person())
    answer = office.get(reverse(name))
    data = b"".join(answer.streaming_content) if answer.streaming else answer.content
    before = sorted(Customer.objects.values_list("name", "phone", "email", "sites__street", "jobs__price_usd"))
    table = read_table(data, name)
    for job in Job.objects.all():
        job.search_terms.all().delete()
    JournalEntry.objects.all()  # append-only: the old jobs stay, so that the households come in beside them
    batch = begun(data)
    columns = {int(place): key for place, key in batch.columns.items()}
    assert {"name", "phone", "email", "street", "city", "state", "zip_code", "price_usd", "received_at"} <= set(
        columns.values()
    )
    importing.try_import(actor=office_person(), lead_import=batch, columns=columns, known_too=True)
    assert batch.problems == []
    importing.bring_in(actor=office_person(), lead_import=batch)
    new = Job.objects.filter(imported__isnull=False)
    after = sorted(new.values_list("customer__name", "customer__phone", "customer__email", "site__street", "price_usd"))
    assert after == before
    assert {job.assigned_to for job in new} == {office_person()}
    assert len(table.rows) == 2


def test_the_pages_lead_from_the_file_to_the_jobs(office):
    upload = SimpleUploadedFile("old.csv", csv_bytes(GOOD, changed(Price="lots")))
    answer = office.post(reverse("imports"), {"upload": upload})
    batch = LeadImport.objects.get()
    address = reverse("import", args=[batch.pk])
    assert answer.url == address
    page = office.get(address).content.decode()
    assert "Ada Tern" in page
    assert "Try it" in page
    columns = {f"column_{place}": key for place, key in batch.columns.items()}
    refused = office.post(address, columns | {"column_1": ""})
    assert refused.status_code == 422
    assert "No column holds the household’s name." in refused.content.decode()
    twice = office.post(address, columns | {"column_8": "price_usd"})
    assert twice.status_code == 422
    assert "Another column holds" in twice.content.decode()
    assert office.post(address, columns).status_code == 302
    page = office.get(address).content.decode()
    assert "Bring in 1 lead" in page
    assert "lots" in page
    assert not Job.objects.exists()
    office.post(reverse("import-in", args=[batch.pk]))
    assert Job.objects.count() == 1
    assert "Show the newest jobs" in office.get(address).content.decode()
    lines = b"".join(office.get(reverse("import-left-out", args=[batch.pk])).streaming_content).decode()
    [row] = csv.DictReader(io.StringIO(lines.removeprefix("\ufeff")))
    assert (row["Customer"], row["row"], row["Price"]) == ("Bo Wren", "3", "lots")
    assert row["what is wrong"].startswith("Price: An amount")
    listed = office.get(reverse("imports")).content.decode()
    assert "old.csv" in listed


def test_a_file_that_is_no_table_is_refused_where_it_was_chosen(office):
    answer = office.post(reverse("imports"), {"upload": SimpleUploadedFile("old.csv", b"Name,Street\n")})
    assert answer.status_code == 422
    assert "no row below" in answer.content.decode()
    assert office.post(reverse("imports")).status_code == 422


def test_a_file_of_which_nothing_came_in_can_be_thrown_away(office):
    batch = begun(csv_bytes(GOOD))
    office.post(reverse("import-discard", args=[batch.pk]))
    assert not LeadImport.objects.exists()


def test_only_the_office_brings_in_leads(crew, stranger):
    batch = begun(csv_bytes(GOOD))
    for name in ("import", "import-in", "import-discard", "import-left-out"):
        address = reverse(name, args=[batch.pk])
        for method in (crew.get, crew.post):
            assert method(address).status_code in (403, 405)
        assert stranger.get(address).status_code in (302, 405)
    assert crew.get(reverse("imports")).status_code == 403
    assert crew.get(reverse("jobs-xlsx")).status_code == 403
