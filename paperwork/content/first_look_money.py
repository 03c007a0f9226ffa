"""First look, money: the bill before and after beside the loan payment, said plainly."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.draw.bill import bill_drawing
from paperwork.words import count, short, usd

TARIFF_WORDS = {
    "net_metering": "What you send out is credited at the price you pay (net metering)",
    "net_billing": "What you send out is credited at {export} a kWh (net billing)",
    "no_export": "Nothing is paid for what the panels send out",
}


def money_part(facts: Mapping[str, Any], width: float) -> dict[str, Any]:
    study = facts["study"]
    money, asked = study["money"], study["request"]
    if not money:
        words = (
            "There is no electric bill to lower: the system replaces the utility."
            if asked["system_type"] == "off_grid"
            else "No tariff is on record yet, so no saving is claimed."
        )
        if facts["price_usd"]:
            words += f" The preliminary price of {usd(facts['price_usd'])} is to be weighed against that."
        return {"drawing": "", "verdict": words, "covers": None, "small": ""}
    before, after = money["bill_before_year_usd"] / 12, money["bill_after_year_usd"] / 12
    loan = money["loan_payment_usd"]
    drawing = bill_drawing(before, after, loan, width=width, language=facts["customer"]["language"])
    return {
        "drawing": drawing.picture(),
        "verdict": verdict(money, asked),
        "covers": money["saving_covers_payment"],
        "small": small_print(money, asked),
    }


def verdict(money: Mapping[str, Any], asked: Mapping[str, Any]) -> str:
    """One or two plain sentences; a saving that doesn't cover the payment is said first."""
    saved, loan = money["saved_month_mean_usd"], money["loan_payment_usd"]
    if saved <= 0:
        start = "The system does not lower the electric bill."
    else:
        start = f"The bill falls by {usd(saved)} a month on average."
    if loan is None:
        payback = money["simple_payback_years"]
        if payback and saved > 0:
            return f"{start} Paid in cash, the price is back after about {short(payback, 0)} years of such bills."
        return start
    years = asked["loan"]["months"] / 12
    if money["saving_covers_payment"]:
        return f"{start} That covers the loan payment of {usd(loan)} a month."
    gap = loan - max(saved, 0)
    return (
        f"The saving does not cover the loan payment. {start} The loan costs {usd(loan)}: {usd(gap)} a month more than "
        f"you pay today, for {count(round(years), 'year')}. What you get for it is the backup."
        if asked["system_type"] == "hybrid"
        else f"The saving does not cover the loan payment. {start} The loan costs {usd(loan)}: {usd(gap)} a month more "
        f"than you pay today, for {count(round(years), 'year')}."
    )


def small_print(money: Mapping[str, Any], asked: Mapping[str, Any]) -> str:
    tariff, loan = asked["tariff"], asked["loan"]
    parts = []
    if tariff:
        parts.append(
            f"{_cents(tariff['energy_usd_per_kwh'])} a kWh and {usd(tariff['fixed_usd_per_month'])} a month fixed."
        )
        parts.append(TARIFF_WORDS[tariff["kind"]].format(export=_cents(tariff["export_usd_per_kwh"])) + ".")
        if tariff["escalation_per_year"]:
            parts.append(f"Prices rise {short(tariff['escalation_per_year'] * 100)} % a year.")
    if loan:
        parts.append(
            f"Loan of {usd(loan['principal_usd'])} at {short(loan['rate_per_year'] * 100, 2)} % over "
            f"{count(loan['months'], 'month')}; no tax credit or subsidy counted."
        )
    else:
        parts.append("No tax credit or subsidy counted.")
    return " ".join(parts)


def _cents(usd_per_kwh: float) -> str:
    return f"{short(usd_per_kwh * 100, 2)}¢"
