"""Loans and cash flows.

FIN-01, -08, -09, -11: numpy-financial's documentation. FIN-02: textbook, from memory, recomputed. FIN-03, -04, -07:
Regulation Z, 12 CFR 1026 Appendix J (c), transcription of the 2024 edition. FIN-10: NIST Handbook 135, from memory,
recomputed. FIN-05, -06: Appendix J (c)(1)(iii), (iv), from memory. BILL-06: Murphy, Energy and Human Ambitions.
"""

from decimal import Decimal

import numpy_financial
import pytest

from projects.route.amounts import level_payment_usd
from sizing.money.finance import (
    Flow,
    amortization,
    apr,
    irr,
    months_to_repay,
    npv_usd,
    payment_usd,
    simple_payback_years,
    single_present_value,
    uniform_present_value,
)
from tests.published.cases import case


@case("FIN-01")
def test_fin_01_monthly_payment():
    assert payment_usd(200_000, 0.075, 180) == pytest.approx(1854.0247, abs=5e-5)


@case("FIN-02")
def test_fin_02_amortization():
    table = amortization(100_000, 0.06, 360)
    assert payment_usd(100_000, 0.06, 360) == pytest.approx(599.55, abs=0.005)
    assert table[0].interest_usd == pytest.approx(500.00)
    assert table[0].principal_usd == pytest.approx(99.55, abs=0.005)
    assert sum(row.interest_usd for row in table) == pytest.approx(115_838.19, abs=0.01)
    assert sum(row.principal_usd for row in table) == pytest.approx(100_000)


@case("FIN-03")
def test_fin_03_apr_of_equal_payments():
    assert apr(5_000, [Flow(230, month) for month in range(1, 25)]) * 100 == pytest.approx(9.69, abs=0.005)


@case("FIN-04")
def test_fin_04_apr_with_a_long_first_period():
    payments = [Flow(200, month, 19 / 30) for month in range(1, 37)]
    assert apr(6_000, payments) * 100 == pytest.approx(11.82, abs=0.005)


@case("FIN-07")
def test_fin_07_apr_with_a_larger_last_payment():
    payments = [*(Flow(230, month) for month in range(1, 24)), Flow(280, 24)]
    assert apr(5_000, payments) * 100 == pytest.approx(10.50, abs=0.005)


@case("FIN-08")
def test_fin_08_internal_rate_of_return_and_number_of_payments():
    flows = [-250_000, 100_000, 150_000, 200_000, 250_000, 300_000]
    assert irr(flows) == pytest.approx(0.5672303344, abs=1e-9)
    assert npv_usd(0.5672303344358536, flows) == pytest.approx(0, abs=1e-3)
    assert months_to_repay(8_000, 0.07, 150) == pytest.approx(64.0733, abs=5e-5)


@case("FIN-10")
def test_fin_10_discount_factors():
    assert single_present_value(0.03, 10) == pytest.approx(0.744, abs=5e-4)
    assert uniform_present_value(0.03, 10) == pytest.approx(8.530, abs=5e-4)
    assert uniform_present_value(0.03, 25) == pytest.approx(17.413, abs=5e-4)


@case("BILL-06")
def test_bill_06_simple_payback():
    per_day = 30 * 0.15
    assert per_day == pytest.approx(4.50)
    assert 20_000 / per_day == pytest.approx(4_444, abs=0.5)
    assert simple_payback_years(20_000, per_day * 365) == pytest.approx(12.2, abs=0.05)


@case("FIN-05")
def test_fin_05_apr_of_payments_twice_a_month():
    payments = [Flow(219.17, period, 6 / 15) for period in range(24)]
    assert apr(5_000, payments, periods_per_year=24) * 100 == pytest.approx(10.34, abs=0.005)


@case("FIN-06")
def test_fin_06_apr_of_payments_by_the_quarter():
    payments = [Flow(385, 1 + period, 39 / 90) for period in range(40)]
    assert apr(10_000, payments, periods_per_year=4) * 100 == pytest.approx(8.97, abs=0.005)


@case("FIN-09")
def test_fin_09_schedule_of_twelve_months():
    table = amortization(2_500, 0.0824, 12)
    printed = (
        (200.58, 17.17, 2299.42), (201.96, 15.79, 2097.46), (203.35, 14.40, 1894.11), (204.74, 13.01, 1689.37),
        (206.15, 11.60, 1483.22), (207.56, 10.18, 1275.66), (208.99, 8.76, 1066.67), (210.42, 7.32, 856.25),
        (211.87, 5.88, 644.38), (213.32, 4.42, 431.05), (214.79, 2.96, 216.26), (216.26, 1.49, 0.0),
    )  # fmt: skip
    for row, line in zip(table, printed, strict=True):
        assert (row.principal_usd, row.interest_usd, row.balance_usd) == pytest.approx(line, abs=0.0051)
    assert sum(row.interest_usd for row in table) == pytest.approx(112.98, abs=0.005)


@case("FIN-11")
def test_fin_11_net_present_value():
    assert npv_usd(0.08, [-40_000, 5_000, 8_000, 12_000, 30_000]) == pytest.approx(3065.22267, abs=1e-5)


@pytest.mark.parametrize("principal", ["500.00", "30000.00", "38420.55", "9999999.99"])
@pytest.mark.parametrize("rate", ["0", "0.0001", "0.0749", "0.36"])
@pytest.mark.parametrize("months", [1, 12, 180, 480])
def test_the_lenders_payment_to_the_cent_against_numpy_financial(principal: str, rate: str, months: int):
    wanted = -numpy_financial.pmt(float(rate) / 12, months, float(principal))
    assert float(level_payment_usd(Decimal(principal), Decimal(rate), months)) == pytest.approx(wanted, abs=0.00501)


def test_the_documented_payment_to_the_cent():
    """numpy-financial's documentation of pmt: 200,000 at 7.5 % over 15 years."""
    assert level_payment_usd(Decimal(200_000), Decimal("0.075"), 180) == Decimal("1854.02")
    with pytest.raises(ValueError, match="one month"):
        level_payment_usd(Decimal(1), Decimal("0.05"), 0)
