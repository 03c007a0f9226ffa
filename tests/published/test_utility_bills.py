"""Bills of published tariffs.

BILL-01: City of Seymour, bill comparison, winter. BILL-03: Goodland, Kansas, utility rates. BILL-05: arithmetic on
BILL-01. BILL-07: City of Seymour, summer. BILL-08: Johnson City Power Board, how to calculate your bill.
"""

import math

import pytest

from sizing.money.tariff import TieredTariff, tiered_bill_usd
from tests.published.cases import case

SEYMOUR_WINTER = TieredTariff(
    tiers=((250, 0.064), (450, 0.049), (math.inf, 0.0446)),
    fixed_usd=7.50,
    rider_usd_per_kwh=0.085,
    tax_fraction=0.01,
)


@case("BILL-01")
def test_bill_01_seymour_winter():
    assert tiered_bill_usd(SEYMOUR_WINTER, 1200) == pytest.approx(171.55, abs=1e-9)


@case("BILL-03")
def test_bill_03_goodland():
    assert tiered_bill_usd(TieredTariff(((math.inf, 0.127),), 15.00), 1000) == pytest.approx(142.00, abs=1e-9)


@case("BILL-05")
def test_bill_05_solar_takes_the_top_tier_first_and_not_half_the_bill():
    before, after = (tiered_bill_usd(SEYMOUR_WINTER, kwh) for kwh in (1200, 600))
    assert after == pytest.approx(92.57, abs=1e-9)
    assert before - after == pytest.approx(78.98, abs=1e-9)
    assert before - after < before / 2


@case("BILL-07")
def test_bill_07_seymour_summer():
    tiers = ((250, 0.064), (450, 0.049), (550, 0.0475), (math.inf, 0.0446))
    summer = TieredTariff(tiers, 7.50, rider_usd_per_kwh=0.085, tax_fraction=0.01)
    # each line is printed to the cent
    assert tiered_bill_usd(summer, 2000) == pytest.approx(277.88, abs=0.011)


@case("BILL-08")
def test_bill_08_johnson_city():
    # 105.56 for energy and 18.48 for availability
    assert tiered_bill_usd(TieredTariff(((math.inf, 0.0951),), 18.48), 1110) == pytest.approx(124.04, abs=0.005)
