"""The years ahead, month by month: falling production, rising prices, upkeep, replacements, incentives, the loan."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sizing.climate.hours import Floats
from sizing.money.finance import amortization, irr, npv_usd, payment_usd
from sizing.money.incentives import counted
from sizing.study.request import StudyRequest
from sizing.study.result import CashFlow, LoanMonth, YearOfCash
from sizing.working import Term, Working

Saved = Callable[[float], Floats]
"""What twelve bills come out lower, USD at today's prices, with this share of the first year's production."""


def cash_flow(request: StudyRequest, production_kwh: float, saved: Saved) -> CashFlow | None:
    """Everything over ``economics.years`` years; None where neither a price nor a loan is given.

    Prices of energy rise by the tariff's escalation each year from the second on, production falls by the degradation,
    upkeep and replacements follow the inflation. Amounts of a year count at its end for NPV and IRR.
    """
    economics, loan, tariff = request.economics, request.loan, request.tariff
    price = economics.price_usd if economics.price_usd is not None else (loan.principal_usd if loan else None)
    if price is None or tariff is None:
        return None
    months = economics.years * 12
    left = (1 - economics.degradation_per_year) ** np.arange(economics.years)
    dearer = (1 + tariff.escalation_per_year) ** np.arange(economics.years)
    saved_usd = np.concatenate([saved(float(share)) * rise for share, rise in zip(left, dearer, strict=True)])
    inflated = (1 + economics.inflation_per_year) ** np.arange(economics.years)
    upkeep = np.full(months, economics.upkeep_usd_per_year / 12) * np.repeat(inflated, 12)
    incentives, replaced, paid = np.zeros(months), np.zeros(months), np.zeros(months)
    for incentive in counted(economics):
        if incentive.month <= months:
            incentives[incentive.month - 1] += incentive.usd
    for item in economics.replacements:
        if item.year <= economics.years:
            replaced[item.year * 12 - 1] += item.usd * inflated[item.year - 1]
    schedule = amortization(loan.principal_usd, loan.rate_per_year, loan.months) if loan else ()
    payment = payment_usd(loan.principal_usd, loan.rate_per_year, loan.months) if loan else 0.0
    paid[: len(schedule)] = payment
    project = (saved_usd + incentives - upkeep - replaced).reshape(-1, 12).sum(axis=1)
    flows = [-price, *map(float, project)]
    loan_months = tuple(
        LoanMonth(
            row.month,
            row.interest_usd,
            row.principal_usd,
            row.balance_usd,
            float(saved_usd[row.month - 1]),
            bool(saved_usd[row.month - 1] >= payment),
        )
        for row in schedule[:months]
    )
    months_covered = sum(row.covered for row in loan_months)

    def yearly(values: Floats) -> list[float]:
        return [float(value) for value in values.reshape(-1, 12).sum(axis=1)]

    parts = [yearly(values) for values in (saved_usd, incentives, upkeep, replaced, paid)]
    down = price - (loan.principal_usd if loan else 0.0)
    years, cumulative = [], -down
    for index, (got, helped, kept, bought, repaid) in enumerate(zip(*parts, strict=True)):
        net = got + helped - kept - bought - repaid
        cumulative += net
        years.append(
            YearOfCash(
                index + 1,
                production_kwh * float(left[index]),
                got,
                helped,
                kept,
                bought,
                repaid,
                net,
                cumulative,
            )
        )
    return CashFlow(
        price_usd=price,
        years=tuple(years),
        loan=loan_months,
        months_covered=months_covered,
        covered_every_month=months_covered == len(loan_months) if loan_months else None,
        payback_years=payback_years(flows),
        npv_usd=npv_usd(economics.discount_rate_per_year, flows),
        irr_per_year=irr(flows),
    )


def payback_years(flows_usd: list[float]) -> float | None:
    """Years until yearly flows (the first one now) have paid the start back for good, a straight line in the last.

    Undiscounted; None where they never do.
    """
    total = np.cumsum(flows_usd)
    below = np.flatnonzero(total < 0)
    if not below.size:
        return 0.0
    last = int(below[-1])
    if last + 1 >= len(flows_usd):
        return None
    return last + float(-total[last]) / flows_usd[last + 1]


def cash_working(request: StudyRequest, cash: CashFlow) -> list[Working]:
    """Lines for net present value, rate of return, payback and the loan month by month."""
    economics, tariff = request.economics, request.tariff
    rise = tariff.escalation_per_year if tariff else 0.0
    shared = (
        Term("price", cash.price_usd, "USD", "at the start"),
        Term("years", float(economics.years), "years"),
        Term("d", economics.degradation_per_year, "1/year", "production lost each year"),
        Term("e", rise, "1/year", "rise of energy prices"),
        Term("upkeep", economics.upkeep_usd_per_year, "USD/year"),
        Term("replaced", sum(item.usd for item in economics.replacements), "USD", "at today's prices"),
        Term("incentives", sum(item.usd for item in counted(economics)), "USD", "that count on the day of service"),
    )
    out = [
        Working(
            "money.npv",
            "Net present value of the price paid at the start",
            "−price + Σ F_y / (1 + r)^y",
            (*shared, Term("r", economics.discount_rate_per_year, "1/year", "discount rate")),
            cash.npv_usd,
            "USD",
            "NIST Handbook 135, single present value of each year",
        )
    ]
    if cash.irr_per_year is not None:
        out.append(
            Working(
                "money.irr",
                "Internal rate of return",
                "r with −price + Σ F_y / (1 + r)^y = 0",
                shared,
                cash.irr_per_year * 100,
                "% a year",
                "definition, by numpy-financial",
            )
        )
    if cash.payback_years is not None:
        out.append(
            Working(
                "money.payback",
                "Years until the price has come back for good",
                "Σ F_y ≥ price, undiscounted",
                shared,
                cash.payback_years,
                "years",
                "running sum of the yearly flows",
            )
        )
    if cash.loan:
        out.append(
            Working(
                "money.months_covered",
                "Months of the loan in which the saving covers the payment",
                "months with saved ≥ payment",
                (Term("n", float(len(cash.loan)), "months", "looked at"),),
                float(cash.months_covered),
                "months",
                "bills of every month, and the loan's schedule",
                limit=float(len(cash.loan)),
                passes=cash.covered_every_month,
            )
        )
    return out
