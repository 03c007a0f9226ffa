"""Invoices and credit notes as papers: the figures on them, one page, the same number in the book, never edited."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from paperwork.billing import issue_credit_note, issue_invoice
from paperwork.content.invoice import FACT_WORDS, INVOICE_WORDS
from paperwork.issue import issue_paper, paper_problems
from paperwork.kinds import KINDS
from paperwork.models import IssuedForGood, IssuedPaper
from projects.actions import change_orders, closing, intake, payment_terms, payments
from projects.actions.ledger import ledger_of
from projects.actions.office import set_price
from projects.actions.payment_terms import ScheduleLine
from projects.actions.problems import Problems
from projects.models import CreditNote, Invoice, Job, MilestoneFact, Person
from tests import factories
from tests.paperwork.reading import reader, text_of
from tests.signing_in import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(firm: object) -> Job:
    found = factories.job_at("installation")
    return set_price(job=found, actor=factories.office_person(), price_usd=Decimal("38420"))


def pay(job: Job, amount: str) -> None:
    payments.record_payment(
        job=job,
        actor=factories.office_person(),
        on=timezone.localdate(),
        amount_usd=Decimal(amount),
        method="check",
    )


def test_it_says_what_for_how_much_and_until_when(job: Job, office: Person) -> None:
    paper = issue_invoice(job=job, part=1, actor=office)
    row = Invoice.objects.get(job=job)
    text = text_of(paper.content)
    assert paper.number == row.number == f"{job.label}-IN-1"
    assert paper.pages == 1
    for words in (
        f"Invoice {row.number}",
        "Deposit, 10 % of the price",
        "To pay $3,842.00 by",
        "because the contract is signed",
        "Longleaf & Shore Backup Power, 18 Ropewalk Street",
        "Permits issued 40 % all permits are issued due, invoice follows $15,368.00",
        "Price today $38,420.00",
        "Received so far $0.00",
    ):
        assert words in text, words
    assert f"{row.due_on.day} {row.due_on:%B %Y}" in text
    assert (paper.sha256, len(paper.sha256)) == (IssuedPaper.objects.get(pk=paper.pk).sha256, 64)
    with pytest.raises(IssuedForGood):
        paper.save()


def test_changes_credit_and_what_is_open_from_before(job: Job, office: Person) -> None:
    on = timezone.localdate()
    issue_invoice(job=job, part=1, actor=office)
    change = change_orders.propose_change(
        job=job, actor=office, on=on, reason="Two more modules.", amount_usd=Decimal("1000.01")
    )
    change_orders.approve_change(change=change, actor=office, on=on)
    job.refresh_from_db()
    pay(job, "842.00")
    text = text_of(issue_invoice(job=job, part=2, actor=office).content)
    assert "Permits issued, 40 % of the price $15,812.45" in text
    assert f"{job.label}-IN-1, due" in text and "$3,000.00" in text
    assert "Price by the contract $38,420.00 Change order 1, approved" in text and "+$1,000.01" in text
    assert "Price today $39,420.01" in text and "Received so far $842.00" in text


def test_a_credit_that_covers_it_asks_for_nothing(job: Job, office: Person) -> None:
    pay(job, "5000")
    text = text_of(issue_invoice(job=job, part=1, actor=office).content)
    assert "Nothing to pay: your credit covers it" in text
    assert "Paid already, or from your credit −$3,842.00 To pay $0.00" in text


def test_a_credit_note_says_why_and_what_it_means(job: Job, office: Person) -> None:
    issue_invoice(job=job, part=1, actor=office)
    pay(job, "3842")
    row = Invoice.objects.get()
    paper = issue_credit_note(invoice=row, actor=office, reason="It named the wrong house.")
    text = text_of(paper.content)
    assert (paper.number, paper.pages) == (f"{job.label}-CN-1", 1)
    assert f"Takes back $3,842.00 of invoice {row.number}" in text
    assert "It named the wrong house." in text
    assert f"Invoice {row.number} is void: please pay nothing on it." in text
    assert "$3,842.00 that you have paid are yours" in text


def test_a_partial_credit_note_says_what_is_left(job: Job, office: Person) -> None:
    issue_invoice(job=job, part=1, actor=office)
    pay(job, "1000")
    paper = issue_credit_note(
        invoice=Invoice.objects.get(), actor=office, reason="Goodwill.", amount_usd=Decimal("842")
    )
    assert "IN-1 $3,000.00 remain; $2,000.00 of that is still to be paid" in text_of(paper.content)


def test_in_spanish_too(job: Job, office: Person) -> None:
    intake.update_contact(job=job, actor=office, preferred_language="es")
    job.refresh_from_db()
    paper = issue_invoice(job=job, part=1, actor=office)
    text = text_of(paper.content)
    assert "A pagar $3,842.00 hasta el" in text and "porque el contrato está firmado" in text
    assert str(reader(bytes(paper.content)).trailer["/Root"]["/Lang"]) == "es"
    said = text_of(paper.content)
    assert all(part in said for part in ("Depósito, 10 %", "Permisos emitidos", "Permiso para operar"))
    assert "Deposit" not in said.replace("Depósito", "")
    note = text_of(issue_credit_note(invoice=Invoice.objects.get(), actor=office, reason="Un error.").content)
    assert "queda anulada" in note


def test_the_languages_say_the_same_things() -> None:
    assert INVOICE_WORDS["en"].keys() == INVOICE_WORDS["es"].keys()
    assert FACT_WORDS["en"].keys() == FACT_WORDS["es"].keys() == set(MilestoneFact.values)


def test_the_longest_one_stays_on_a_page_in_both_sizes(job: Job, office: Person) -> None:
    title = "Part {} of the price, as agreed in the contract and its annex on the payments"
    lines = [ScheduleLine(title.format(n), "contract", Decimal("12.5"), n) for n in range(1, 9)]
    payment_terms.set_schedule(job=job, actor=office, lines=lines)
    on = timezone.localdate()
    for _ in range(6):
        change = change_orders.propose_change(job=job, actor=office, on=on, reason="x", amount_usd=Decimal("10"))
        change_orders.approve_change(change=change, actor=office, on=on)
        job.refresh_from_db()
    for part in range(1, 8):
        issue_invoice(job=job, part=part, actor=office)
    paper = issue_invoice(job=job, part=8, actor=office)
    assert paper.pages == 1
    for size in ("letter", "a4"):
        assert KINDS["invoice"].pages(paper.facts, False, paper_size=size).pages == 1  # type: ignore[call-arg]


def test_names_without_end_take_a_second_page_rather_than_no_invoice(job: Job, office: Person) -> None:
    lines = [ScheduleLine(f"{n}" + "W" * 79, "contract", Decimal("12.5"), n) for n in range(1, 9)]
    payment_terms.set_schedule(job=job, actor=office, lines=lines)
    assert issue_invoice(job=job, part=1, actor=office).pages >= 1


def test_nothing_is_half_written(job: Job, office: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the paper can't be laid out, the book has no invoice either."""
    monkeypatch.setattr("paperwork.billing.issue_paper", lambda **_: (_ for _ in ()).throw(Problems([])))
    with pytest.raises(Problems):
        issue_invoice(job=job, part=1, actor=office)
    assert not Invoice.objects.exists()
    assert ledger_of(job).invoices == ()


@pytest.mark.parametrize("kind", ["invoice", "credit_note"])
def test_none_is_issued_beside_the_book(job: Job, office: Person, kind: str) -> None:
    assert paper_problems(job=job, kind=kind)
    with pytest.raises(Problems):
        issue_paper(job=job, kind=kind, actor=office)
    issue_invoice(job=job, part=1, actor=office)
    assert paper_problems(job=job, kind=kind)


def test_without_a_firm_nothing_is_written(office: Person) -> None:
    found = factories.job_at("permits")
    set_price(job=found, actor=office, price_usd=Decimal("100"))
    with pytest.raises(Problems, match="office's own name"):
        issue_invoice(job=found, part=1, actor=office)
    assert not Invoice.objects.exists()


def test_a_called_off_job_still_gets_its_credit_note(job: Job, office: Person) -> None:
    issue_invoice(job=job, part=1, actor=office)
    closing.close_job(job=job, actor=office, outcome="cancelled", reason="They move.")
    row = Invoice.objects.get()
    assert issue_credit_note(invoice=row, actor=office, reason="Called off.").kind == "credit_note"


# The forms


def test_the_office_writes_and_takes_back_from_the_money_sheet(job: Job, office: Person) -> None:
    client = signed_in(office)
    sheet = reverse("job-money", args=[job.number])
    address = reverse("invoice-new", args=[job.number, 1])
    assert address in client.get(sheet).content.decode()
    assert "Deposit: $3,842.00" in client.get(address).content.decode()
    assert client.post(address).headers["Location"] == sheet
    assert client.post(address).status_code == 422
    row = Invoice.objects.get()
    back = reverse("credit-note-new", args=[job.number, row.pk])
    refused = client.post(back, {"amount_usd": "$4,000", "reason": "x"})
    assert refused.status_code == 422 and "At most $3,842.00" in refused.content.decode()
    kept = client.post(back, {"amount_usd": "1,00", "reason": "Kept as typed."}).content.decode()
    assert "Write an amount such as" in kept and "Kept as typed." in kept and 'value="1,00"' in kept
    assert client.post(back, {"amount_usd": "$1,842.00", "reason": "Goodwill."}).status_code == 302
    assert CreditNote.objects.get().amount_usd == Decimal("1842.00")
    page = client.get(sheet).content.decode()
    assert f"{job.label}-IN-1" in page and f"{job.label}-CN-1" in page and "$2,000.00 open" in page


def test_other_jobs_invoices_are_unknown_and_the_crew_reads_none(job: Job, office: Person) -> None:
    paper = issue_invoice(job=job, part=1, actor=office)
    row = Invoice.objects.get()
    other = factories.lead()
    assert signed_in(office).get(reverse("credit-note-new", args=[other.number, row.pk])).status_code == 404
    crew = signed_in(factories.crew_person())
    for address in (
        reverse("paper", args=[paper.number]),
        reverse("invoice-new", args=[job.number, 2]),
        reverse("credit-note-new", args=[job.number, row.pk]),
        reverse("job-money", args=[job.number]),
    ):
        assert crew.get(address).status_code == 403, address
    assert signed_in(office).get(reverse("paper", args=[paper.number])).status_code == 200
