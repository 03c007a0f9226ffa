"""Price, change orders, schedule, invoices and credit notes: what the rows come to, to the cent."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from projects.actions import change_orders, closing, invoicing, marks, office, payment_terms, permits
from projects.actions.ledger import ledger_of
from projects.actions.payment_terms import ScheduleLine
from projects.actions.problems import Problems
from projects.models import ChangeOrder, DefaultMilestone, Invoice, PaymentMilestone, PaymentTerms
from projects.models.invoice import WrittenOnce
from tests.actions.money import PRICE, change, fields, invoice, parts, priced
from tests.factories import Story, job_at, lead, licence, office_person

pytestmark = pytest.mark.django_db


# The price and change orders


def test_once_signed_the_price_moves_by_change_orders_alone() -> None:
    job = priced("permits")
    with pytest.raises(Problems, match="write a change order"):
        office.set_price(job=job, actor=office_person(), price_usd=Decimal("1"))
    first = change(job, "1250.50", approved=False)
    job.refresh_from_db()
    assert job.price_usd == PRICE
    change_orders.approve_change(change=first, actor=office_person(), on=timezone.localdate(), note="By e-mail.")
    assert change(job, "-300.25").number == 2
    job.refresh_from_db()
    assert job.price_usd == PRICE + Decimal("950.25")
    assert [entry.kind for entry in job.journal.order_by("-pk")[:4]] == [
        "change_approved",
        "change_proposed",
        "change_approved",
        "change_proposed",
    ]


def test_a_change_order_is_decided_once() -> None:
    job = priced("permits")
    row = change(job, "100", approved=False)
    told = {"change": row, "actor": office_person(), "on": timezone.localdate()}
    change_orders.drop_change(**told, reason="They think it over.")
    for again in (lambda: change_orders.approve_change(**told), lambda: change_orders.drop_change(**told, reason="x")):
        with pytest.raises(Problems):
            again()
    job.refresh_from_db()
    assert job.price_usd == PRICE


@pytest.mark.parametrize("amount", ["-38420.00", "-99999", "10000000", "1.005", "NaN", "Infinity"])
def test_an_amount_that_cannot_be_is_refused_where_it_was_typed(amount: str) -> None:
    with pytest.raises(Problems) as problems:
        change(priced("permits"), amount)
    assert fields(problems) == {"amount_usd"}
    assert not ChangeOrder.objects.exists()


def test_a_change_needs_a_signed_contract_and_another_jobs_design_is_refused() -> None:
    early = priced("engineering")
    with pytest.raises(Problems, match="change the price itself"):
        change(early, "100")
    job, other = priced("permits"), job_at("permits")
    with pytest.raises(Problems, match="another job"):
        change_orders.propose_change(
            job=job,
            actor=office_person(),
            on=timezone.localdate(),
            reason="x",
            amount_usd=Decimal(1),
            design=other.designs.first(),
        )


# The schedule


def test_signing_the_contract_fixes_the_schedule() -> None:
    job = priced("permits")
    assert [(row.title, row.percent) for row in PaymentMilestone.objects.filter(job=job)] == [
        ("Deposit", Decimal("10.00")),
        ("Permits issued", Decimal("40.00")),
        ("Installation complete", Decimal("40.00")),
        ("Permission to operate", Decimal("10.00")),
    ]
    payment_terms.save_payment_terms(
        actor=office_person(),
        lines=[ScheduleLine("All of it", "handover", Decimal(100), 1)],
        payment_days=30,
        labor_usd_per_hour=Decimal("70"),
    )
    assert parts(job)[0].title == "Deposit"
    assert [part.title for part in parts(lead())] == ["All of it"]


def test_what_is_due_follows_the_facts() -> None:
    job = priced("permits")
    assert [part.state for part in parts(job)] == ["due", "waiting", "waiting", "waiting"]
    assert [part.amount_usd for part in parts(job)] == [
        Decimal("3842.00"),
        Decimal("15368.00"),
        Decimal("15368.00"),
        Decimal("3842.00"),
    ]
    story = Story(job, "hybrid")
    story.day = timezone.localdate()
    story.permits()
    assert [part.state for part in parts(job)] == ["due", "due", "waiting", "waiting"]
    marks.withdraw_mark(job=job, key="contract_signed", actor=office_person(), reason="Wrong job.")
    assert parts(job)[0].state == "waiting"


def test_both_permits_make_the_milestone() -> None:
    job = priced("permits")
    told = {"job": job, "actor": office_person(), "on": timezone.localdate()}
    permits.submit_permit(**told, kind="building", how="online", licence=licence("contractor"))
    permits.issue_permit(**told, kind="building", number="B-1")
    assert parts(job)[1].state == "waiting"
    assert "electrical permit is issued" in " ".join(parts(job)[1].missing)


def lines(*rows: tuple[str, str, str]) -> list[ScheduleLine]:
    return [ScheduleLine(title, fact, Decimal(percent), n) for n, (title, fact, percent) in enumerate(rows, start=1)]


@pytest.mark.parametrize(
    ("rows", "field"),
    [
        ([("A", "contract", "50"), ("B", "permission", "49.99")], ""),
        ([("A", "contract", "110"), ("B", "permission", "-10")], "percent_1"),
        ([("A", "contract", "100"), ("B", "permission", "0")], "percent_2"),
        ([("A", "contract", "NaN")], "percent_1"),
        ([("A", "contract", "33.333"), ("B", "permission", "66.667")], "percent_1"),
        ([("A", "moon", "100")], "fact_1"),
        ([(" ", "contract", "100")], "title_1"),
        ([("A" * 81, "contract", "100")], "title_1"),
        ([], ""),
        ([("A", "contract", "10")] * 10, ""),
    ],
)
def test_a_schedule_that_does_not_hold_is_refused(rows: list[tuple[str, str, str]], field: str) -> None:
    job = priced("permits")
    for save in (
        lambda: payment_terms.set_schedule(job=job, actor=office_person(), lines=lines(*rows)),
        lambda: payment_terms.save_payment_terms(
            actor=office_person(), lines=lines(*rows), payment_days=10, labor_usd_per_hour=Decimal(60)
        ),
    ):
        with pytest.raises(Problems) as problems:
            save()
        assert field in fields(problems)
    assert PaymentMilestone.objects.filter(job=job).count() == 4
    assert not DefaultMilestone.objects.exists()


def test_the_schedule_changes_around_what_is_invoiced() -> None:
    job = priced("permits")
    invoice(job)
    with pytest.raises(Problems, match="invoiced already"):
        payment_terms.set_schedule(job=job, actor=office_person(), lines=lines(("All", "handover", "100")))
    new = lines(("Deposit", "contract", "10"), ("Equipment here", "equipment", "60"), ("Handover", "handover", "30"))
    payment_terms.set_schedule(job=job, actor=office_person(), lines=new)
    assert [(part.title, part.amount_usd, part.state) for part in parts(job)] == [
        ("Deposit", Decimal("3842.00"), "invoiced"),
        ("Equipment here", Decimal("23052.00"), "waiting"),
        ("Handover", Decimal("11526.00"), "waiting"),
    ]


# Invoices


def test_an_invoice_asks_for_a_part_that_is_due_once() -> None:
    job = priced("permits")
    PaymentTerms(pk=1, payment_days=14).save()
    first = invoice(job)
    assert (first.number, first.amount_usd, first.title) == (f"{job.label}-IN-1", Decimal("3842.00"), "Deposit")
    assert first.due_on == timezone.localdate() + timedelta(days=14)
    with pytest.raises(Problems, match="invoiced already"):
        invoice(job)
    with pytest.raises(Problems, match="First: the building permit is issued"):
        invoice(job, 2)
    for nothing in (0, 9, -1):
        with pytest.raises(Problems, match="no such part"):
            invoice(job, nothing)


def test_nothing_is_invoiced_without_a_price_or_on_a_closed_job() -> None:
    job = job_at("permits")
    with pytest.raises(Problems, match="no price"):
        invoice(job)
    job = priced("permits")
    closing.close_job(job=job, actor=office_person(), outcome="cancelled", reason="They move.")
    with pytest.raises(Problems, match="closed"):
        invoice(job)


def test_an_invoice_never_changes() -> None:
    row = invoice(priced("permits"))
    row.amount_usd = Decimal(1)
    for change_it in (row.save, row.delete, Invoice.objects.all().delete, lambda: Invoice.objects.update(title="x")):
        with pytest.raises(WrittenOnce):
            change_it()
    row.refresh_from_db()
    assert row.amount_usd == Decimal("3842.00")


def test_a_change_order_moves_only_what_is_not_invoiced_and_the_whole_stays_the_price() -> None:
    job = priced("installation")
    invoice(job)
    invoice(job, 2)
    change(job, "1000.01")
    found = parts(job)
    assert [part.amount_usd for part in found] == [
        Decimal("3842.00"),
        Decimal("15368.00"),
        Decimal("16168.01"),
        Decimal("4042.00"),
    ]
    assert sum(part.amount_usd for part in found) == job.price_usd == PRICE + Decimal("1000.01")


def test_a_change_after_the_last_invoice_is_a_part_of_its_own() -> None:
    job = priced("done")
    for part in (1, 2, 3, 4):
        invoice(job, part)
    assert [part.order for part in parts(job)] == [1, 2, 3, 4]
    change(job, "77.70")
    last = parts(job)[-1]
    assert (last.order, last.amount_usd, last.state) == (0, Decimal("77.70"), "due")
    assert invoice(job, 0).milestone is None
    assert sum(part.amount_usd for part in parts(job)) == job.price_usd
    change(job, "-20.00")
    last = parts(job)[-1]
    assert (last.amount_usd, last.state) == (Decimal("-20.00"), "nothing")
    with pytest.raises(Problems, match="Nothing is left"):
        invoice(job, 0)


def test_a_void_invoice_can_be_written_anew() -> None:
    job = priced("permits")
    first = invoice(job)
    with pytest.raises(Problems) as problems:
        invoicing.credit_invoice(invoice=first, actor=office_person(), reason=" ")
    assert fields(problems) == {"reason"}
    note = invoicing.credit_invoice(invoice=first, actor=office_person(), reason="Wrong name on it.")
    assert (note.number, note.amount_usd) == (f"{job.label}-CN-1", first.amount_usd)
    with pytest.raises(Problems, match="void already"):
        invoicing.credit_invoice(invoice=first, actor=office_person(), reason="Again.")
    assert invoice(job).number == f"{job.label}-IN-2"


def test_a_part_of_an_invoice_is_credited_and_shared_among_the_rest() -> None:
    job = priced("permits")
    first = invoice(job)
    with pytest.raises(Problems) as problems:
        invoicing.credit_invoice(invoice=first, actor=office_person(), reason="x", amount_usd=Decimal("3842.01"))
    assert fields(problems) == {"amount_usd"}
    invoicing.credit_invoice(invoice=first, actor=office_person(), reason="Goodwill.", amount_usd=Decimal("842"))
    assert ledger_of(job).owed_usd == Decimal("3000.00")
    assert sum(part.amount_usd for part in parts(job)) == PRICE
