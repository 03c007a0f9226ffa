"""The owner's cash: whose page, what it says of an empty book, and that table and drawing tell the same amounts."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from unittest.mock import patch

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from projects.actions import invoicing, office, payments
from projects.models import PaymentTerms
from tests.factories import crew_person, job_at, office_person
from tests.screens.owner.reading import text_of
from tests.signing_in import signed_in

ADDRESS = "/pipeline/cash/"


def priced():
    PaymentTerms.objects.update_or_create(pk=1, defaults={"payment_days": 14})
    return office.set_price(job=job_at("permits"), actor=office_person(), price_usd=Decimal("38420.05"))


def test_it_is_the_owners_alone_and_only_read(db, owner):
    for address in (ADDRESS, f"{ADDRESS}next/"):
        for person in (office_person(), crew_person()):
            assert signed_in(person).get(address).status_code == 403
        assert Client().get(address).status_code == 302
        assert owner.post(address).status_code == 405
    assert reverse("cash") == ADDRESS


def test_an_empty_book_is_told_as_empty(owner):
    assert "No money came in yet" in text_of(owner.get(ADDRESS))
    assert text_of(owner.get(f"{ADDRESS}next/")) == "No invoice is open."


def test_the_table_says_what_the_drawing_draws(owner):
    job = priced()
    invoice = invoicing.record_invoice(job=job, actor=office_person(), part=1)
    today = timezone.localdate()
    payments.record_payment(job=job, actor=office_person(), on=today, amount_usd=Decimal("1200.00"), method="check")
    page = owner.get(ADDRESS)
    shown = text_of(page)
    [now] = [row for row in page.context["rows"] if row["now"]]
    assert now["month"].received_usd == Decimal("1200.00")
    assert "1.2 came in" in page.context["drawing"]
    assert "$1,200.00" in shown or "$1,200" in shown
    due = next(row for row in page.context["rows"] if row["month"].first == invoice.due_on.replace(day=1))
    assert due["month"].invoiced_usd == invoice.amount_usd - Decimal("1200.00")


def test_late_money_stands_in_no_month_and_the_morning_says_so(owner):
    job = priced()
    with patch("projects.actions.invoicing.today", return_value=timezone.localdate() - timedelta(days=17)):
        invoice = invoicing.record_invoice(job=job, actor=office_person(), part=1)
    page = owner.get(ADDRESS)
    assert page.context["cash"].late_usd == invoice.amount_usd
    assert "of it late" in text_of(owner.get(f"{ADDRESS}next/"))
    assert f'hx-get="{ADDRESS}next/"' in text_of(owner.get(reverse("pipeline")))


def test_it_takes_as_many_queries_for_three_jobs_as_for_one(owner):
    def queries() -> int:
        with CaptureQueriesContext(
            connection,
        ) as caught:
            owner.get(f"{ADDRESS}next/")
        return len(caught)

    priced()
    queries()
    one = queries()
    priced()
    priced()
    assert queries() == one
