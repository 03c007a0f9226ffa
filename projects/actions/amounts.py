"""Amounts of money as an action accepts them."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from projects.actions.findings import Findings

MOST_USD = Decimal("9999999.99")


def checked_usd(findings: Findings, field: str, amount: Any, *, may_be_negative: bool = False) -> Decimal | None:
    """The amount to the cent; None, and a problem at ``field``, where it isn't one.

    Above 0 unless it ``may_be_negative``; never more than two decimals, never silently rounded.
    """
    if amount is None or isinstance(amount, bool | float) or not isinstance(amount, int | Decimal):
        findings.add(field, "An amount in dollars and cents, such as 1,234.50.")
        return None
    amount = Decimal(amount)
    if not amount.is_finite():
        findings.add(field, "An amount in dollars and cents, such as 1,234.50.")
    elif amount != amount.quantize(Decimal("0.01")) if abs(amount) <= MOST_USD else False:
        findings.add(field, "Whole cents: two decimals at most.")
    elif not may_be_negative and amount <= 0:
        findings.add(field, "More than 0.")
    elif abs(amount) > MOST_USD:
        findings.add(field, f"At most ${MOST_USD:,.2f}.")
    else:
        return amount.quantize(Decimal("0.01"))
    return None


def checked_reference(findings: Findings, field: str, text: str) -> str:
    """A check's number or a transfer's reference. Card numbers are refused: they have no place in a job book."""
    text = text.strip()
    digits = re.sub(r"[\s-]", "", text)
    if re.fullmatch(r"\d{13,19}", digits) and _luhn(digits):
        findings.add(field, "This looks like a card's number: keep the last four digits at most.")
    if len(text) > 60:
        findings.add(field, "At most 60 characters.")
    return text


def _luhn(digits: str) -> bool:
    """The check digit of payment cards, ISO/IEC 7812-1 (from memory)."""
    doubled = [int(d) * (2 if place % 2 else 1) for place, d in enumerate(reversed(digits))]
    return sum(n - 9 if n > 9 else n for n in doubled) % 10 == 0


def usd(amount: Decimal) -> str:
    """ "$1,234.50", "−$20.00": as journal and messages write it."""
    return f"−${-amount:,.2f}" if amount < 0 else f"${amount:,.2f}"
