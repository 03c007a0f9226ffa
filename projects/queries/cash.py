"""Cash by month: what came in, and what is expected of invoices and of the parts of signed prices that are still ahead.

Rather late than early: a part that is due before the crew comes counts with the day the crew comes, since the kept
likely dates know two days alone, the first day of the installation and the permission to operate.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import QuerySet, Sum
from django.db.models.functions import TruncMonth

from projects.actions.findings import today as office_today
from projects.actions.schedule import Part
from projects.models import LikelyDates, MilestoneFact, Payment, PaymentTerms
from projects.queries.likely import POINTS
from projects.queries.money import jobs_to_come, owed, parts_of_many
from projects.queries.months import month_shares, months_around
from projects.route.amounts import ZERO, cents, shares
from projects.route.forecast.legs import BY_KEY
from projects.route.forecast.predict import DateRange

HANDOVER_DAYS = 2
"""From the permission to the handover: common practice, no source."""
BEFORE_THE_CREW = (MilestoneFact.CONTRACT, MilestoneFact.PERMITS, MilestoneFact.EQUIPMENT, MilestoneFact.STARTED)


@dataclass(frozen=True)
class CashMonth:
    first: date
    received_usd: Decimal
    """Less what was refunded; 0 ahead."""
    invoiced_usd: Decimal
    """Open on invoices due in this month."""
    expected_usd: Decimal
    """Of parts not invoiced yet, by the likely dates of their facts and the office's days to pay."""

    @property
    def ahead_usd(self) -> Decimal:
        return self.invoiced_usd + self.expected_usd


@dataclass(frozen=True)
class Cash:
    months: tuple[CashMonth, ...]
    """Eleven before this one, this one, six after it."""
    late_usd: Decimal
    """Open on invoices past their day: in no month, since nobody knows when it comes."""
    beyond_usd: Decimal
    """Expected after the last month."""
    undated_usd: Decimal
    """Of jobs without likely dates (paused, or waiting for something the forecast doesn't know)."""
    left_out_jobs: int
    """Jobs with money to come beyond the ``MOST_LOOKED_AT`` that moved last: in no figure."""


def cash_by_month(today: date | None = None) -> Cash:
    """A constant number of queries. The months ahead and ``late_usd``, ``beyond_usd`` and ``undated_usd`` come to
    all that is open on invoices and still to come of signed prices, less credits, to the cent.
    """
    today = today or office_today()
    months = list(months_around(today))
    received = _received(months[0], today)
    invoiced: dict[date, Decimal] = defaultdict(lambda: ZERO)
    late = beyond = undated = ZERO
    for bill in owed(today):
        first = bill.line.invoice.due_on.replace(day=1)
        if bill.late_days:
            late += bill.line.open_usd
        elif first > months[-1]:
            beyond += bill.line.open_usd
        else:
            invoiced[first] += bill.line.open_usd
    expected: dict[date, Decimal] = defaultdict(lambda: ZERO)
    looked_at, left_out = jobs_to_come()
    likely = {row.job_id: row for row in LikelyDates.objects.filter(job__in=looked_at)}
    days = PaymentTerms.current().payment_days
    for row in parts_of_many(looked_at):
        for part, amount in _less(row.credit_usd, row.parts):
            when = _when(part, likely.get(row.job.pk), today)
            if when is None:
                undated += amount
                continue
            for month, share in _spread(amount, _shifted(when, days), months):
                if month is None:
                    beyond += share
                else:
                    expected[month] += share
    rows = (CashMonth(m, received.get(m, ZERO), invoiced.get(m, ZERO), expected.get(m, ZERO)) for m in months)
    return Cash(tuple(rows), late, beyond, undated, left_out)


def _received(since: date, today: date) -> dict[date, Decimal]:
    """By month, less refunds. A database may add decimals as floats: exact again once rounded to the cent."""
    rows = Payment.objects.filter(withdrawn_at=None, on__gte=since, on__lte=today)
    found: dict[date, Decimal] = defaultdict(lambda: ZERO)
    for kind, sign in ((Payment.Kind.RECEIVED, 1), (Payment.Kind.REFUND, -1)):
        for month, amount in _by_month(rows.filter(kind=kind)):
            found[month] += sign * cents(amount)
    return found


def _by_month(rows: QuerySet[Payment]) -> Iterable[tuple[date, Decimal]]:
    by_month = rows.order_by().annotate(month=TruncMonth("on")).values("month").annotate(sum=Sum("amount_usd"))
    return by_month.values_list("month", "sum")


def _less(credit_usd: Decimal, parts: Sequence[Part]) -> list[tuple[Part, Decimal]]:
    """What each part not invoiced yet still brings once the customer's credit is used up by the first ones."""
    found, left = [], credit_usd
    for part in parts:
        if part.invoice is None and part.amount_usd > 0:
            used = min(left, part.amount_usd)
            left -= used
            if part.amount_usd > used:
                found.append((part, part.amount_usd - used))
    return found


def _when(part: Part, likely: LikelyDates | None, today: date) -> DateRange | None:
    """When the part can be invoiced: today where its fact is there; None where nobody knows."""
    now = DateRange(today, today, today, today, today)
    if part.reached is not None:
        return now
    if likely is None:
        return None
    if part.fact_key in BEFORE_THE_CREW:
        return _range(likely, "install", today) or now
    if part.fact_key == MilestoneFact.INSTALLED:
        return _shifted(_range(likely, "install", today) or now, round(BY_KEY["installing"].typical_days))
    found = _range(likely, "operate", today)
    if found is not None and part.fact_key == MilestoneFact.HANDOVER:
        found = _shifted(found, HANDOVER_DAYS)
    return found


def _range(row: LikelyDates, what: str, today: date) -> DateRange | None:
    """Not before today, however long ago it was forecast."""
    points = [getattr(row, f"{what}_{point}") for point in POINTS]
    return None if points[0] is None else DateRange(*(max(point, today) for point in points))


def _shifted(found: DateRange, days: int) -> DateRange:
    later = timedelta(days=days)
    return DateRange(*(getattr(found, point) + later for point in POINTS))


def _spread(amount: Decimal, when: DateRange, months: Sequence[date]) -> list[tuple[date | None, Decimal]]:
    """The amount over the months as the range is spread; None stands for after the last one. The sum is exact."""
    weights: list[tuple[date | None, Decimal]] = [
        (first, Decimal(repr(share))) for first, share in month_shares(when, months)
    ]
    after = 1 - sum((weight for _, weight in weights), Decimal(0))
    if after > Decimal("1e-9"):
        weights.append((None, after))
    parts = shares(amount, [weight for _, weight in weights])
    return [(first, part) for (first, _), part in zip(weights, parts, strict=True)]
