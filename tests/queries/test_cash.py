"""Cash by month: what came in by its day, what is ahead by the likely dates, and everything adds up to the cent.

The amounts are worked out by hand beside each test.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from unittest.mock import patch

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from projects.actions import invoicing, marks, office, payments
from projects.models import Invoice, Job, LikelyDates, Payment, PaymentTerms
from projects.queries.cash import Cash, cash_by_month
from projects.queries.money import job_money
from tests.factories import job_at, office_person

pytestmark = pytest.mark.django_db

PRICE = Decimal("38420.05")
TODAY = date(2026, 6, 15)


def priced(stage: str) -> Job:
    PaymentTerms.objects.update_or_create(pk=1, defaults={"payment_days": 14})
    return office.set_price(job=job_at(stage), actor=office_person(), price_usd=PRICE)


def likely(job: Job, install: date | None, operate: date | None) -> None:
    """Known to the day: no range."""
    points = ("low90", "low50", "middle", "high50", "high90")
    days = {f"{what}_{point}": day for what, day in (("install", install), ("operate", operate)) for point in points}
    LikelyDates.objects.create(job=job, made_on=timezone.localdate(), after_entry=0, thinnest=9, **days)


def invoiced(job: Job, *, due_on: date | None = None) -> Invoice:
    """The deposit, written 14 days before ``due_on``."""
    issued_on = due_on - timedelta(days=14) if due_on else timezone.localdate()
    with patch("projects.actions.invoicing.today", return_value=issued_on):
        return invoicing.record_invoice(job=job, actor=office_person(), part=1)


def paid(job: Job, amount: str, on: date, kind: str = "received") -> Payment:
    """Beside the action, which refuses days before the lead."""
    return Payment.objects.create(
        job=job, kind=kind, on=on, amount_usd=Decimal(amount), method="check", recorded_by=office_person()
    )


def month(cash: Cash, year: int, number: int):
    return next(row for row in cash.months if row.first == date(year, number, 1))


def ahead(cash: Cash) -> Decimal:
    return sum((row.ahead_usd for row in cash.months), cash.late_usd + cash.beyond_usd + cash.undated_usd)


def test_what_came_in_stands_in_its_month_less_what_went_back() -> None:
    job = job_at("lead")
    for amount, on in (("100.10", date(2026, 6, 1)), ("0.20", date(2026, 6, 15)), ("7.00", date(2026, 5, 31))):
        paid(job, amount, on)
    paid(job, "50.05", date(2026, 6, 2), kind="refund")
    payments.withdraw_payment(payment=paid(job, "9", date(2026, 6, 3)), actor=office_person(), reason="It bounced.")
    paid(job, "1000", date(2025, 6, 30))
    paid(job, "5", date(2026, 6, 16))
    cash = cash_by_month(TODAY)
    assert [row.first for row in cash.months][:: len(cash.months) - 1] == [date(2025, 7, 1), date(2026, 12, 1)]
    assert month(cash, 2026, 6).received_usd == Decimal("50.25")
    assert month(cash, 2026, 5).received_usd == Decimal("7.00")
    assert sum(row.received_usd for row in cash.months) == Decimal("57.25")


def test_many_small_sums_stay_exact() -> None:
    """A thousand dimes are 100 dollars; added as binary fractions they are not."""
    job, person = job_at("lead"), office_person()
    rows = (Payment(job=job, on=TODAY, amount_usd=Decimal("0.10"), method="cash", recorded_by=person),) * 1000
    Payment.objects.bulk_create(Payment(**{f: getattr(r, f) for f in _FIELDS}) for r in rows)
    assert month(cash_by_month(TODAY), 2026, 6).received_usd == Decimal("100.00")


_FIELDS = ("job", "on", "amount_usd", "method", "recorded_by")


def test_parts_count_when_their_facts_are_likely_and_the_customer_has_had_the_days_to_pay() -> None:
    """10, 40, 40, 10 % of 38,420.05: 3,842.01 (half a cent up), 15,368.02, 15,368.02 and the rest, 3,842.00.

    14 days to pay. The deposit is due today: 29 June. Permits count with the crew's first day, 10 July: 24 July. The
    installation ends 5 days after it: 29 July. The permission of 25 August is paid on 8 September.
    """
    job = priced("permits")
    likely(job, date(2026, 7, 10), date(2026, 8, 25))
    cash = cash_by_month(TODAY)
    assert month(cash, 2026, 6).expected_usd == Decimal("3842.01")
    assert month(cash, 2026, 7).expected_usd == Decimal("30736.04")
    assert month(cash, 2026, 9).expected_usd == Decimal("3842.00")
    assert ahead(cash) == PRICE


def test_an_open_invoice_counts_with_its_day_and_a_late_one_with_none() -> None:
    job = priced("permits")
    likely(job, date(2026, 7, 10), date(2027, 2, 1))
    invoiced(job, due_on=date(2026, 8, 3))
    assert month(cash_by_month(TODAY), 2026, 8).invoiced_usd == Decimal("3842.01")
    assert month(cash_by_month(date(2026, 8, 3)), 2026, 8).invoiced_usd == Decimal("3842.01")
    cash = cash_by_month(date(2026, 8, 4))
    assert (cash.late_usd, month(cash, 2026, 8).invoiced_usd) == (Decimal("3842.01"), 0)
    assert ahead(cash) == PRICE
    assert cash_by_month(TODAY).beyond_usd == Decimal("3842.00")
    paid(job, "842.01", TODAY)
    assert cash_by_month(date(2026, 8, 4)).late_usd == Decimal("3000.00")


def test_a_likely_day_that_has_gone_by_counts_from_today() -> None:
    job = priced("permits")
    likely(job, date(2026, 7, 10), date(2026, 8, 25))
    cash = cash_by_month(date(2026, 11, 1))
    assert sum(row.expected_usd for row in cash.months if row.first < date(2026, 11, 1)) == 0
    assert month(cash, 2026, 11).expected_usd == PRICE


def test_a_credit_is_used_up_by_the_first_parts() -> None:
    job = priced("permits")
    likely(job, date(2026, 7, 10), date(2026, 8, 25))
    invoiced(job)
    paid(job, "10000", TODAY)  # 6,157.99 beyond the deposit
    cash = cash_by_month(TODAY)
    assert month(cash, 2026, 7).expected_usd == Decimal("30736.04") - Decimal("6157.99")
    assert ahead(cash) == PRICE - 10000


def test_a_wide_range_is_spread_and_nothing_is_lost() -> None:
    job = priced("permits")
    low, high = date(2026, 7, 1), date(2027, 1, 20)
    install = {
        "install_low90": low,
        "install_low50": date(2026, 8, 1),
        "install_middle": date(2026, 9, 1),
        "install_high50": date(2026, 11, 1),
        "install_high90": high,
    }
    LikelyDates.objects.create(job=job, made_on=timezone.localdate(), after_entry=0, thinnest=0, **install)
    cash = cash_by_month(TODAY)
    assert cash.undated_usd == Decimal("3842.00")  # nobody knows the permission's day
    assert cash.beyond_usd > 0
    assert len([row for row in cash.months if row.expected_usd > 0]) >= 6
    assert ahead(cash) == PRICE


def test_jobs_without_likely_dates_are_told_apart_and_those_not_signed_or_called_off_are_not_counted() -> None:
    job = priced("permits")
    assert cash_by_month(TODAY).undated_usd == PRICE - Decimal("3842.01")
    marks.withdraw_mark(job=job, key="contract_signed", actor=office_person(), reason="Wrong job.")
    assert ahead(cash_by_month(TODAY)) == 0
    assert cash_by_month(TODAY).left_out_jobs == 0


def test_it_agrees_with_the_jobs_own_sheets_and_takes_as_many_queries_for_six_as_for_three() -> None:
    jobs, asked = [], []
    for _ in range(2):
        for stage in ("permits", "installation", "done"):
            jobs.append(priced(stage))
            invoiced(jobs[-1], due_on=date(2026, 5, 1) if stage == "permits" else None)
            paid(jobs[-1], "1000", TODAY)
        with CaptureQueriesContext(connection) as told:
            cash = cash_by_month(TODAY)
        asked.append(len(told))
    assert asked[0] == asked[1]
    sheets = [job_money(job) for job in jobs]
    assert ahead(cash) == sum(sheet.ledger.owed_usd + sheet.to_come_usd for sheet in sheets) == 6 * (PRICE - 1000)
