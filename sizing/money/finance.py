"""Loans and cash flows: payment, amortization, annual percentage rate, present values, payback.

Rates are per year as fractions (0.075 = 7.5 %) unless a name says otherwise; amounts in USD.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


def payment_usd(principal_usd: float, rate_per_year: float, months: int) -> float:
    """Level monthly payment at the end of each month, unrounded. Raises ValueError for a term below one month."""
    if months < 1:
        raise ValueError("a loan needs at least one month")
    rate = rate_per_year / 12
    if rate == 0:
        return principal_usd / months
    return principal_usd * rate / -math.expm1(-months * math.log1p(rate))


@dataclass(frozen=True)
class Instalment:
    month: int
    interest_usd: float
    principal_usd: float
    balance_usd: float
    """Left after this payment."""


def amortization(principal_usd: float, rate_per_year: float, months: int) -> tuple[Instalment, ...]:
    """Every month of a level-payment loan, unrounded."""
    payment = payment_usd(principal_usd, rate_per_year, months)
    balance, out = principal_usd, []
    for month in range(1, months + 1):
        interest = balance * rate_per_year / 12
        balance -= payment - interest
        out.append(Instalment(month, interest, payment - interest, balance if month < months else 0.0))
    return tuple(out)


def months_to_repay(principal_usd: float, rate_per_year: float, payment: float) -> float:
    """Months a fixed payment takes (a fraction for the last). Raises ValueError where it never covers the interest."""
    rate = rate_per_year / 12
    if rate == 0:
        return principal_usd / payment
    if payment <= principal_usd * rate:
        raise ValueError("the payment does not cover the interest")
    return -math.log1p(-principal_usd * rate / payment) / math.log1p(rate)


@dataclass(frozen=True)
class Flow:
    """An amount at ``periods`` whole unit periods and ``fraction`` of one after the loan is paid out."""

    amount_usd: float
    periods: int
    fraction: float = 0.0


def apr(advance_usd: float, payments: Sequence[Flow], periods_per_year: int = 12) -> float:
    """Annual percentage rate as a fraction, one advance and its payments.

    Solves A = sum P / ((1 + f i)(1 + i)**t), simple interest within a fraction of a unit period; the annual rate is i x
    periods per year. Source: Regulation Z, 12 CFR 1026, Appendix J (b)(8). Raises ValueError when the payments don't
    repay the advance.
    """
    if sum(flow.amount_usd for flow in payments) < advance_usd:
        raise ValueError("the payments do not repay the advance")

    def excess(rate: float) -> float:
        return (
            sum(flow.amount_usd / ((1 + flow.fraction * rate) * (1 + rate) ** flow.periods) for flow in payments)
            - advance_usd
        )

    low, high = 0.0, 1.0
    while excess(high) > 0:
        high *= 2
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if excess(middle) > 0 else (low, middle)
    return (low + high) / 2 * periods_per_year


def npv_usd(rate_per_year: float, flows_usd: Sequence[float]) -> float:
    """Present value of yearly flows, the first one now."""
    return sum(flow / (1 + rate_per_year) ** year for year, flow in enumerate(flows_usd))


def irr(flows_usd: Sequence[float]) -> float | None:
    """Internal rate of return of yearly flows, the first one now; None where there is none (by numpy-financial)."""
    import numpy_financial

    rate = float(numpy_financial.irr(list(flows_usd)))
    return None if math.isnan(rate) else rate


def single_present_value(rate_per_year: float, year: int) -> float:
    """Factor for one amount at the end of a year (SPV). Source: NIST Handbook 135."""
    return float((1 + rate_per_year) ** -year)


def uniform_present_value(rate_per_year: float, years: int) -> float:
    """Factor for equal amounts at the end of every year (UPV). Source: NIST Handbook 135."""
    if rate_per_year == 0:
        return float(years)
    return (1 - (1 + rate_per_year) ** -years) / rate_per_year


def simple_payback_years(cost_usd: float, saved_usd_per_year: float) -> float | None:
    """Cost over the first year's saving, no interest and no price rise; None where nothing is saved."""
    return cost_usd / saved_usd_per_year if saved_usd_per_year > 0 else None
