"""The money part of a study: bills before and after, and whether the saving carries the loan."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sizing.climate.hours import Floats
from sizing.errors import InputError, InputErrors
from sizing.loads.hours import LoadsHours
from sizing.money.cashflow import cash_flow, cash_working
from sizing.money.finance import payment_usd, simple_payback_years
from sizing.money.incentives import incentive_warnings, incentive_working
from sizing.money.tariff import MeterYear, bills_after_usd, bills_before_usd, lapsed_kwh, meter_year
from sizing.study.request import StudyRequest, Tariff
from sizing.study.result import Money
from sizing.working import Term, Working

_RULES = {
    "net_metering": "month by month in kWh, credits carried to the following months, the rest lapses after December",
    "net_billing": "hour by hour, imports at the energy price, exports at the export one, credit lapses after December",
    "no_export": "hour by hour, nothing is sent out",
}
_PRICED = {
    "blocks": "Energy goes through the tariff's blocks; c is the price beyond the last.",
    "periods": "Energy is priced by time of use; c is the price outside the periods. 1 January counts as a Monday.",
}


def problems(request: StudyRequest) -> list[InputError]:
    """Prices and loan terms that can't be used."""
    found: list[InputError] = []
    if request.tariff is not None:
        for name in ("energy_usd_per_kwh", "fixed_usd_per_month", "export_usd_per_kwh"):
            if getattr(request.tariff, name) < 0:
                found.append(InputError(f"tariff.{name}", "A price can't be negative."))
    if request.loan is not None:
        if request.loan.months < 1:
            found.append(InputError("loan.months", "A loan needs at least one month."))
        if request.loan.principal_usd < 0:
            found.append(InputError("loan.principal_usd", "The principal can't be negative."))
        if request.loan.rate_per_year < 0:
            found.append(InputError("loan.rate_per_year", "The rate can't be negative."))
    return found


def study_money(
    request: StudyRequest, ac_w: Floats, loads: LoadsHours
) -> tuple[Money | None, tuple[Working, ...], tuple[str, ...]]:
    """First year's bills with and without solar, and the loan. None where no tariff is given.

    ``ac_w``: production at the meter, W, shape (8760,). The battery is left out of the bills: it is kept full for
    outages. Raises InputErrors.
    """
    if found := problems(request):
        raise InputErrors(found)
    tariff, loan = request.tariff, request.loan
    if tariff is None:
        return None, (), ()
    warnings: list[str] = []
    meter = meter_year(loads.use_w, ac_w, tariff)
    before = bills_before_usd(meter, tariff)
    off_grid = request.system_type == "off_grid"
    if off_grid:
        after, nothing = np.zeros(12), np.zeros_like(meter.use)
        used = np.minimum(meter.use, meter.produced)
        meter = replace(meter, imported=nothing, exported=nothing, self_used=used)
        warnings.append(
            "Off the grid there is no utility account, so the bill afterwards is zero; fuel is not counted."
        )
    else:
        after = bills_after_usd(meter, tariff)

    def saved(share: float) -> Floats:
        return before if off_grid else before - bills_after_usd(meter_year(loads.use_w, ac_w * share, tariff), tariff)

    cash = cash_flow(request, float(ac_w.sum()) / 1000, saved)
    saved_year = float(before.sum() - after.sum())
    payment = payment_usd(loan.principal_usd, loan.rate_per_year, loan.months) if loan else None
    if payment is not None and saved_year / 12 < payment:
        warnings.append(
            f"In the first year the saving ({saved_year / 12:.0f} USD a month) does not cover the loan payment "
            f"({payment:.0f} USD a month)."
        )
    money = Money(
        bill_before_by_month_usd=tuple(float(usd) for usd in before),
        bill_after_by_month_usd=tuple(float(usd) for usd in after),
        bill_before_year_usd=float(before.sum()),
        bill_after_year_usd=float(after.sum()),
        saved_month_mean_usd=saved_year / 12,
        loan_payment_usd=payment,
        saving_covers_payment=None if payment is None else saved_year / 12 >= payment,
        import_kwh_year=float(meter.import_kwh.sum()),
        export_kwh_year=float(meter.export_kwh.sum()),
        self_used_kwh_year=float(meter.self_used_kwh.sum()),
        simple_payback_years=simple_payback_years(loan.principal_usd, saved_year) if loan else None,
        cash=cash,
    )
    if cash is not None and cash.covered_every_month is False:
        warnings.append(
            f"Month by month the saving covers the loan payment in {cash.months_covered} of {len(cash.loan)} months."
        )
    lines = [*_working(request, tariff, meter, money)]
    if cash is not None:
        warnings += incentive_warnings(request.economics)
        lines += [*incentive_working(request.economics), *cash_working(request, cash)]
    return money, tuple(lines), tuple(warnings)


def _working(request: StudyRequest, tariff: Tariff, meter: MeterYear, money: Money) -> list[Working]:
    price = Term("c", tariff.energy_usd_per_kwh, "USD/kWh")
    fixed = Term("F", tariff.fixed_usd_per_month, "USD/month")
    rising = (
        f"First year's prices; a rise of {tariff.escalation_per_year:.1%} a year counts in the years ahead."
        if tariff.escalation_per_year
        else "First year's prices."
    )
    if tariff.blocks or tariff.periods:
        rising += " " + _PRICED["blocks" if tariff.blocks else "periods"]
    out = [
        Working(
            "money.bill_before_year",
            "Electric bills of a year without solar",
            "Σ (E_use × c + F)",
            (Term("E_use", float(meter.use_kwh.sum()), "kWh/year"), price, fixed),
            money.bill_before_year_usd,
            "USD/year",
            "utility tariff as entered",
            remark=rising,
        ),
        Working(
            "money.bill_after_year",
            "Electric bills of a year with solar",
            "Σ (max(import − export credit, 0) + F)",
            (
                Term("import", money.import_kwh_year, "kWh/year"),
                Term("export", money.export_kwh_year, "kWh/year"),
                Term("lapsed", lapsed_kwh(meter), "kWh/year", "credit unused after December")
                if tariff.kind == "net_metering"
                else Term("c_export", tariff.export_usd_per_kwh, "USD/kWh"),
                price,
                fixed,
            ),
            money.bill_after_year_usd,
            "USD/year",
            "utility tariff as entered",
            remark=f"Settled {_RULES[tariff.kind]}. The battery is kept for outages and moves no energy here.",
        ),
        Working(
            "money.saved_month_mean",
            "Saved per month, mean of the first year",
            "(B_before − B_after) / 12",
            (
                Term("B_before", money.bill_before_year_usd, "USD/year"),
                Term("B_after", money.bill_after_year_usd, "USD/year"),
            ),
            money.saved_month_mean_usd,
            "USD/month",
            "difference of the two bills",
            remark=rising,
        ),
    ]
    if request.loan is not None and money.loan_payment_usd is not None:
        loan = request.loan
        out.append(
            Working(
                "money.loan_payment",
                "Loan payment per month",
                "P × i / (1 − (1 + i)^−n), i = r / 12",
                (
                    Term("P", loan.principal_usd, "USD"),
                    Term("r", loan.rate_per_year, "1/year"),
                    Term("n", float(loan.months), "months"),
                ),
                money.loan_payment_usd,
                "USD/month",
                "level-payment annuity",
                limit=money.saved_month_mean_usd,
                passes=money.saving_covers_payment,
                remark="Passes where the first year's mean saving covers it.",
            )
        )
        if money.simple_payback_years is not None:
            out.append(
                Working(
                    "money.simple_payback",
                    "Simple payback of the amount financed",
                    "P / (12 × S)",
                    (Term("P", loan.principal_usd, "USD"), Term("S", money.saved_month_mean_usd, "USD/month")),
                    money.simple_payback_years,
                    "years",
                    "simple payback: no interest, no price rise, no upkeep",
                )
            )
    return out
