"""Bills, loan and the years ahead in a study's answer. USD."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class YearOfCash:
    """One year ahead, USD. ``net_usd`` = saved + incentives - upkeep - replacements - loan payments."""

    year: int
    production_kwh: float
    saved_usd: float
    incentives_usd: float
    upkeep_usd: float
    replacements_usd: float
    loan_paid_usd: float
    net_usd: float
    cumulative_usd: float
    """Including what is paid down at the start."""


@dataclass(frozen=True)
class LoanMonth:
    month: int
    interest_usd: float
    principal_usd: float
    balance_usd: float
    saved_usd: float
    """What the month's bill comes out lower."""
    covered: bool
    """The saving is at least the payment."""


@dataclass(frozen=True)
class CashFlow:
    """The years ahead month by month. Payback, NPV and IRR are of the price paid at the start, without the loan."""

    price_usd: float
    years: tuple[YearOfCash, ...]
    loan: tuple[LoanMonth, ...]
    months_covered: int
    """Of the loan's months, those in which the saving covers the payment."""
    covered_every_month: bool | None
    """None without a loan."""
    payback_years: float | None
    """None where the years looked at don't pay it back."""
    npv_usd: float
    irr_per_year: float | None


@dataclass(frozen=True)
class Money:
    bill_before_by_month_usd: tuple[float, ...]
    bill_after_by_month_usd: tuple[float, ...]
    bill_before_year_usd: float
    bill_after_year_usd: float
    saved_month_mean_usd: float
    loan_payment_usd: float | None
    saving_covers_payment: bool | None
    import_kwh_year: float
    export_kwh_year: float
    self_used_kwh_year: float
    simple_payback_years: float | None
    cash: CashFlow | None = None
    """None where no price is known."""
