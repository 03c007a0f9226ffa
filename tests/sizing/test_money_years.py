"""Blocks, time of use and the years ahead, by hand arithmetic and against numpy-financial."""

from dataclasses import replace

import numpy as np
import numpy_financial as npf
import pytest

from sizing.climate.hours import DAYS_IN_MONTH, hour_of_day
from sizing.errors import InputErrors
from sizing.money import study_money
from sizing.money.cashflow import payback_years
from sizing.money.prices import period_of_hour
from sizing.money.tariff import bills_after_usd, bills_before_usd, meter_year
from sizing.study.request import Economics, EnergyBlock, Incentive, Loan, RatePeriod, Replacement, Tariff
from sizing.study.validate import check_request

from .test_money import NOON_SUN, USE, loads, request

DAYS = np.array(DAYS_IN_MONTH)
PEAK = RatePeriod("peak", 0.30, 16, 21, months=(6, 7, 8), days="weekdays", export_usd_per_kwh=0.10)
NIGHT = RatePeriod("night", 0.05, 22, 6)


def test_hours_fall_into_their_periods():
    index = period_of_hour((PEAK, NIGHT))
    # June to August: 1 June is day 152, a Friday when 1 January is a Monday; 66 weekdays in the three months
    assert (index == 0).sum() == 66 * 5
    assert (index == 1).sum() == 365 * 8
    assert (index == 2).sum() == 8760 - 66 * 5 - 365 * 8
    assert set(index[:6]) == {1} and index[12] == 2


def test_time_of_use_before_and_after():
    tariff = Tariff("net_billing", 0.10, 12.0, 0.04, periods=(NIGHT,))
    meter = meter_year(USE, NOON_SUN, tariff)
    assert bills_before_usd(meter, tariff) == pytest.approx(DAYS * (16 * 0.10 + 8 * 0.05) + 12)
    # six noon hours used at once, 12 kWh a day sent out at the base credit
    assert bills_after_usd(meter, tariff) == pytest.approx(DAYS * (10 * 0.10 + 8 * 0.05 - 12 * 0.04) + 12)
    credited = replace(tariff, periods=(NIGHT, RatePeriod("noon", 0.10, 9, 15, export_usd_per_kwh=0.08)))
    after = bills_after_usd(meter_year(USE, NOON_SUN, credited), credited)
    assert after == pytest.approx(DAYS * (10 * 0.10 + 8 * 0.05 - 12 * 0.08) + 12)


def test_net_metering_nets_each_period_by_itself():
    tariff = Tariff("net_metering", 0.10, 0.0, periods=(RatePeriod("noon", 0.20, 9, 15),))
    after = bills_after_usd(meter_year(USE, NOON_SUN, tariff), tariff)
    assert after == pytest.approx(DAYS * 18 * 0.10)  # noon's surplus of 12 kWh a day stays noon's and lapses


def test_blocks_minimum_and_tax():
    tariff = Tariff("no_export", 0.20, 10.0, blocks=(EnergyBlock(300, 0.08), EnergyBlock(300, 0.12)))
    bills = bills_before_usd(meter_year(USE, np.zeros(8760), tariff), tariff)
    assert bills == pytest.approx(300 * 0.08 + 300 * 0.12 + (DAYS * 24 - 600) * 0.20 + 10)
    dear = replace(tariff, minimum_usd_per_month=400.0, tax_fraction=0.05)
    assert bills_before_usd(meter_year(USE, np.zeros(8760), dear), dear) == pytest.approx([420.0] * 12)


def study(**changes):
    economics = Economics(years=10, price_usd=9_000.0, degradation_per_year=0.01, **changes)
    tariff = Tariff("net_metering", 0.10, 12.0, escalation_per_year=0.02)
    return study_money(request(tariff=tariff, loan=None, economics=economics), NOON_SUN, loads(USE))[0].cash


def test_the_years_ahead_by_hand():
    cash = study(upkeep_usd_per_year=50.0, replacements=(Replacement("inverter", 7, 1_500.0),))
    assert len(cash.years) == 10 and cash.loan == () and cash.covered_every_month is None
    first = 18 * 365 * 0.10
    for row in cash.years:
        y = row.year - 1
        assert row.saved_usd == pytest.approx(first * 0.99**y * 1.02**y)
        assert row.replacements_usd == (1_500.0 if row.year == 7 else 0.0)
        assert row.net_usd == pytest.approx(row.saved_usd - 50 - row.replacements_usd)
    flows = [-9_000.0, *(row.net_usd for row in cash.years)]
    assert cash.years[-1].cumulative_usd == pytest.approx(sum(flows))
    assert cash.npv_usd == pytest.approx(npf.npv(0.05, flows))
    assert cash.irr_per_year == pytest.approx(npf.irr(flows))
    assert cash.payback_years is None  # 9,000 USD against some 5,000 in ten years


def test_incentives_arrive_in_their_month_and_only_as_entered():
    helped = study(incentives=(Incentive("utility rebate", 3_000.0, 14, "2026-03-01", "2026-12-31"),))
    assert [row.incentives_usd for row in helped.years[:3]] == [0.0, 3_000.0, 0.0]
    assert sum(row.incentives_usd for row in study().years) == 0.0


GRANT = Incentive("county grant", 3_000.0, 2, "2026-03-01", "2026-06-30")


@pytest.mark.parametrize(
    ("in_service_on", "usd"), [("2026-06-29", 3_000.0), ("2026-06-30", 3_000.0), ("2026-07-01", 0.0)]
)
def test_an_incentive_that_ends_before_the_day_of_service_does_not_count(in_service_on, usd):
    assert study(incentives=(GRANT,), in_service_on=in_service_on).years[0].incentives_usd == usd


def test_a_lapsed_incentive_says_so_and_changes_every_figure_that_hangs_on_it():
    lasting = Incentive("utility rebate", 500.0, 1, "2026-03-01")
    economics = Economics(years=10, price_usd=9_000.0, incentives=(GRANT, lasting), in_service_on="2026-09-01")
    tariff = Tariff("net_metering", 0.10, 12.0)

    def of(economics):
        return study_money(request(tariff=tariff, loan=None, economics=economics), NOON_SUN, loads(USE))

    money, working, warnings = of(economics)
    without, _, quiet = of(replace(economics, incentives=(lasting,)))
    assert money.cash == without.cash
    assert [line for line in warnings if "county grant" in line and "2026-06-30" in line and "not counted" in line]
    assert not any("not counted" in line for line in quiet)
    line = next(line for line in working if line.key == "money.incentives")
    assert line.result == 500.0
    assert [(term.symbol, term.value) for term in line.terms] == [("county grant", 0.0), ("utility rebate", 500.0)]
    assert money.cash.npv_usd < of(replace(economics, in_service_on="2026-06-01"))[0].cash.npv_usd - 2_500


def test_without_a_day_of_service_an_ending_incentive_counts_with_a_warning():
    economics = Economics(years=10, price_usd=9_000.0, incentives=(GRANT,))
    tariff = Tariff("net_metering", 0.10, 12.0)
    money, _, warnings = study_money(request(tariff=tariff, loan=None, economics=economics), NOON_SUN, loads(USE))
    assert money.cash.years[0].incentives_usd == 3_000.0
    assert any("2026-06-30" in line and "no day of service" in line for line in warnings)


def test_dates_out_of_order_are_named():
    economics = Economics(incentives=(replace(GRANT, expires_on="2026-02-01"),), in_service_on="next spring")
    with pytest.raises(InputErrors) as caught:
        check_request(request(economics=economics))
    assert [problem.field for problem in caught.value.problems] == [
        "economics.incentives[0].expires_on",
        "economics.in_service_on",
    ]


def test_payback_for_good():
    assert payback_years([-100, 40, 40, 40]) == pytest.approx(2.5)
    assert payback_years([-100, 120, -50, 20, 20]) == pytest.approx(3.5)  # below zero again in the second year
    assert payback_years([-100, 10, 10]) is None
    assert payback_years([0, 10]) == 0.0


def test_the_loan_month_by_month_says_no_in_the_months_that_fall_short():
    sun = NOON_SUN * np.where(hour_of_day() >= 0, 1.0, 0.0)
    sun[: 90 * 24] = 0.0  # nothing in the first 90 days
    tariff = Tariff("net_billing", 0.10, 12.0, 0.04)
    money, working, warnings = study_money(
        request(tariff=tariff, loan=Loan(3_000.0, 0.05, 120), economics=Economics(degradation_per_year=0.0)),
        sun,
        loads(USE),
    )
    cash = money.cash
    # payment 31.82; a sunny month of 30 days saves 30 x (6 x 0.10 + 12 x 0.04) = 32.40, 28 days 30.24
    assert [row.covered for row in cash.loan[:12]] == [False] * 3 + [True] * 9
    assert (cash.months_covered, cash.covered_every_month) == (90, False)
    assert money.saving_covers_payment is False
    assert cash.loan[-1].balance_usd == 0.0
    assert cash.loan[0].interest_usd == pytest.approx(12.50)
    assert any("90 of 120 months" in warning for warning in warnings)
    assert next(line for line in working if line.key == "money.months_covered").passes is False
    assert cash.years[10].loan_paid_usd == 0.0


def test_unusable_prices_and_dates_are_named():
    tariff = Tariff("net_metering", 0.1, 1.0, blocks=(EnergyBlock(0.0, 0.1),), periods=(RatePeriod("x", -1.0, 0, 30),))
    economics = Economics(years=0, incentives=(Incentive("grant", 10.0, 0, "soon"),))
    with pytest.raises(InputErrors) as caught:
        check_request(request(tariff=tariff, economics=economics))
    assert [problem.field for problem in caught.value.problems] == [
        "tariff.blocks",
        "tariff.blocks[0].kwh",
        "tariff.periods[0].usd_per_kwh",
        "tariff.periods[0].to_hour",
        "economics.years",
        "economics.incentives[0].month",
        "economics.incentives[0].entered_on",
    ]
