"""Sums of money, exact to the cent: shares of a price, payments against bills, how old a debt is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")
ZERO = Decimal("0.00")

AGES: tuple[tuple[str, int | None], ...] = (
    ("not due yet", 0),
    ("1 to 30 days", 30),
    ("31 to 60 days", 60),
    ("61 to 90 days", 90),
    ("over 90 days", None),
)
"""Title and the longest delay in days past the due date; the 30-day steps are common practice, no source."""


def cents(amount: Decimal) -> Decimal:
    """To the cent, halves away from zero."""
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


def shares(total: Decimal, percents: Sequence[Decimal]) -> list[Decimal]:
    """``total`` (0 or more) split by weight; each rounded to the cent, the last takes what is left: the sum is exact.

    The weights need not sum to 100. Raises ValueError where one is 0 or less, or the total is negative.
    """
    if total < 0 or any(percent <= 0 for percent in percents):
        raise ValueError("shares of a negative amount, or of no weight")
    whole, left, found = sum(percents), cents(total), []
    for percent in percents[:-1]:
        # Many small shares rounded up must not take more than there is.
        part = min(cents(total * percent / whole), left)
        found.append(part)
        left -= part
    return [*found, left] if percents else []


def level_payment_usd(principal_usd: Decimal, rate_per_year: Decimal, months: int) -> Decimal:
    """Monthly payment of a level-payment loan at the end of each month, to the cent: P i / (1 - (1 + i)^-n).

    ``rate_per_year``: nominal, as a fraction. The lender's own rounding of the last payment isn't modelled. Raises
    ValueError for a term below one month.
    """
    if months < 1:
        raise ValueError("a loan needs at least one month")
    rate = rate_per_year / 12
    if rate == 0:
        return cents(principal_usd / months)
    return cents(principal_usd * rate / (1 - (1 + rate) ** -months))


@dataclass(frozen=True)
class Bill:
    key: int
    due_on: date
    amount_usd: Decimal
    """What it asks for after credit notes: 0 or more."""


@dataclass(frozen=True)
class Settled:
    open_usd: dict[int, Decimal]
    """By the bill's key."""
    credit_usd: Decimal
    """Received beyond all bills: the customer's to keep or to get back."""


def settle(bills: Iterable[Bill], received_usd: Decimal) -> Settled:
    """Money pays the bill that is due first, then the next; what is left is the customer's credit.

    ``received_usd``: received less refunded; where more was given back than came in, every bill stays open in full and
    the credit is negative.
    """
    left, still = received_usd, {}
    for bill in sorted(bills, key=lambda bill: (bill.due_on, bill.key)):
        paid = max(ZERO, min(left, bill.amount_usd))
        still[bill.key] = bill.amount_usd - paid
        left -= paid
    return Settled(still, left)


def age(due_on: date, today: date) -> int:
    """Index into ``AGES``."""
    late = (today - due_on).days
    for index, (_, most) in enumerate(AGES):
        if most is None or late <= most:
            return index
    raise AssertionError("the last age has no end")
