"""Bills before and after under the three tariffs, and honest answers about the loan."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.climate.hours import DAYS_IN_MONTH, hour_of_day, month_of_hour, sum_by_month
from sizing.errors import InputErrors
from sizing.loads.hours import LoadsHours
from sizing.money import study_money
from sizing.money.finance import Flow, amortization, apr, irr, months_to_repay, payment_usd, simple_payback_years
from sizing.money.tariff import TieredTariff, bills_after_usd, bills_before_usd, meter_year, tiered_bill_usd
from sizing.study.example import example_request
from sizing.study.request import Loan, Tariff
from sizing.study.result import Loads

PRICE, FIXED, EXPORT = 0.10, 12.0, 0.04
HOURS = np.array(DAYS_IN_MONTH) * 24


def tariff(kind):
    return Tariff(kind, PRICE, FIXED, EXPORT)


def loads(use_w):
    by_month = tuple(sum_by_month(use_w) / 1000)
    summary = Loads((), by_month, sum(by_month), 0.0, 0.0, 0.0, "")
    return LoadsHours(summary, np.zeros(8760), use_w, (), ())


USE = np.full(8760, 1_000.0)
NOON_SUN = np.where((hour_of_day() >= 9) & (hour_of_day() < 15), 3_000.0, 0.0)  # 18 kWh a day against 24 used


def test_before_solar_every_month_is_energy_and_the_fixed_charge():
    bills = bills_before_usd(meter_year(USE, NOON_SUN, tariff("net_metering")), tariff("net_metering"))
    assert bills == pytest.approx(HOURS * PRICE + FIXED)


def test_net_metering_pays_only_the_difference():
    bills = bills_after_usd(meter_year(USE, NOON_SUN, tariff("net_metering")), tariff("net_metering"))
    assert bills == pytest.approx(np.array(DAYS_IN_MONTH) * (24 - 18) * PRICE + FIXED)


def test_net_billing_splits_every_hour():
    # a day: 6 h x 1 kWh used at once, 12 kWh sent out, 18 kWh bought
    bills = bills_after_usd(meter_year(USE, NOON_SUN, tariff("net_billing")), tariff("net_billing"))
    assert bills == pytest.approx(np.array(DAYS_IN_MONTH) * (18 * PRICE - 12 * EXPORT) + FIXED)


def test_no_export_credits_nothing():
    meter = meter_year(USE, NOON_SUN, tariff("no_export"))
    assert meter.export_kwh.sum() == 0
    assert bills_after_usd(meter, tariff("no_export")) == pytest.approx(np.array(DAYS_IN_MONTH) * 18 * PRICE + FIXED)


def test_net_metering_carries_summer_credit_forward_until_december_and_then_drops_it():
    sun = np.where(np.isin(month_of_hour(), (6, 7)), 2_000.0, 0.0)
    bills = bills_after_usd(meter_year(USE, sun, tariff("net_metering")), tariff("net_metering"))
    # June and July leave 720 + 744 kWh: August (744) and 720 kWh of September are covered
    assert bills[5:9] == pytest.approx([FIXED] * 4)
    assert bills[9] == pytest.approx(744 * PRICE + FIXED)
    december_sun = np.where(month_of_hour() == 12, 5_000.0, 0.0)
    bills = bills_after_usd(meter_year(USE, december_sun, tariff("net_metering")), tariff("net_metering"))
    assert bills[0] == pytest.approx(744 * PRICE + FIXED)
    assert bills[11] == pytest.approx(FIXED)


@given(
    seed=st.integers(0, 1000),
    size=st.floats(0, 20_000),
    kind=st.sampled_from(["net_metering", "net_billing", "no_export"]),
)
@settings(max_examples=25, deadline=None)
def test_energy_adds_up_and_no_bill_is_below_the_fixed_charge(seed, size, kind):
    rng = np.random.default_rng(seed)
    use, sun = rng.uniform(0, 3_000, 8760), rng.uniform(0, 1, 8760) * size
    meter = meter_year(use, sun, tariff(kind))
    assert meter.import_kwh + meter.self_used_kwh == pytest.approx(meter.use_kwh)
    if kind != "no_export":
        assert meter.export_kwh + meter.self_used_kwh == pytest.approx(meter.produced_kwh)
    after, before = bills_after_usd(meter, tariff(kind)), bills_before_usd(meter, tariff(kind))
    assert (after >= FIXED - 1e-9).all()
    assert after.sum() <= before.sum() + 1e-9


def request(**change):
    return replace(example_request(), **change)


def test_the_study_compares_the_saving_with_the_payment_and_says_when_it_falls_short():
    loan = Loan(20_000.0, 0.06, 180)
    money, working, warnings = study_money(request(tariff=tariff("net_metering"), loan=loan), NOON_SUN, loads(USE))
    assert money.bill_before_year_usd - money.bill_after_year_usd == pytest.approx(18 * 365 * PRICE)
    assert money.saved_month_mean_usd == pytest.approx(18 * 365 * PRICE / 12)
    assert money.loan_payment_usd == pytest.approx(168.77, abs=0.005)
    assert money.saving_covers_payment is False
    assert money.simple_payback_years == pytest.approx(20_000 / 657)
    assert any("does not cover" in warning for warning in warnings)
    payment = next(line for line in working if line.key == "money.loan_payment")
    assert payment.passes is False


def test_a_small_loan_is_covered():
    loan = Loan(4_000.0, 0.06, 180)
    money, _, warnings = study_money(request(tariff=tariff("net_metering"), loan=loan), NOON_SUN, loads(USE))
    assert money.saving_covers_payment is True and not warnings
    assert money.cash.covered_every_month and money.cash.months_covered == 180


def test_without_tariff_no_money_without_loan_no_payment():
    assert study_money(request(tariff=None), NOON_SUN, loads(USE)) == (None, (), ())
    money, working, _ = study_money(request(tariff=tariff("no_export"), loan=None), NOON_SUN, loads(USE))
    assert (money.loan_payment_usd, money.saving_covers_payment, money.simple_payback_years) == (None, None, None)
    assert not any(line.key.startswith("money.loan") for line in working)


def test_no_sun_no_payback():
    money, *_ = study_money(request(tariff=tariff("net_billing")), np.zeros(8760), loads(USE))
    assert money.simple_payback_years is None
    assert money.bill_after_year_usd == pytest.approx(money.bill_before_year_usd)


def test_off_the_grid_there_is_no_bill():
    money, _, warnings = study_money(
        request(system_type="off_grid", tariff=tariff("net_metering"), loan=None), NOON_SUN, loads(USE)
    )
    assert money.bill_after_by_month_usd == (0.0,) * 12
    assert any("no utility account" in warning for warning in warnings)
    assert (money.import_kwh_year, money.export_kwh_year) == (0.0, 0.0)


def test_escalation_leaves_the_first_year_alone_and_counts_in_the_years_ahead():
    rising = replace(tariff("net_metering"), escalation_per_year=0.03)
    plain, *_ = study_money(request(tariff=tariff("net_metering")), NOON_SUN, loads(USE))
    money, working, _ = study_money(request(tariff=rising), NOON_SUN, loads(USE))
    assert replace(money, cash=None) == replace(plain, cash=None)
    assert any("3.0%" in line.remark for line in working)
    assert money.cash.years[0].saved_usd == pytest.approx(plain.cash.years[0].saved_usd)
    assert money.cash.years[9].saved_usd == pytest.approx(plain.cash.years[9].saved_usd * 1.03**9)


def test_every_unusable_price_or_term_is_named():
    bad = request(tariff=Tariff("net_metering", -0.1, -1.0), loan=Loan(-5.0, -0.01, 0))
    with pytest.raises(InputErrors) as caught:
        study_money(bad, NOON_SUN, loads(USE))
    assert [problem.field for problem in caught.value.problems] == [
        "tariff.energy_usd_per_kwh",
        "tariff.fixed_usd_per_month",
        "loan.months",
        "loan.principal_usd",
        "loan.rate_per_year",
    ]


@given(
    principal=st.floats(500, 100_000),
    rate=st.floats(0, 0.30),
    months=st.integers(1, 360),
)
@settings(max_examples=50, deadline=None)
def test_a_loan_is_paid_off_and_its_apr_is_its_rate(principal, rate, months):
    table = amortization(principal, rate, months)
    assert sum(row.principal_usd for row in table) == pytest.approx(principal, rel=1e-8)
    payment = payment_usd(principal, rate, months)
    assert apr(principal, [Flow(payment * (1 + 1e-12), month) for month in range(1, months + 1)]) == pytest.approx(
        rate, abs=1e-7
    )
    assert months_to_repay(principal, rate, payment) == pytest.approx(months, rel=1e-6)


def test_what_cannot_be_worked_out_is_refused():
    with pytest.raises(ValueError):
        payment_usd(1000, 0.05, 0)
    with pytest.raises(ValueError):
        months_to_repay(1000, 0.12, 10)
    with pytest.raises(ValueError):
        apr(1000, [Flow(500, 1)])
    with pytest.raises(ValueError):
        tiered_bill_usd(TieredTariff(((100, 0.1),), 5.0), 101)
    assert irr([100, 100]) is None
    assert simple_payback_years(1000, -1) is None
