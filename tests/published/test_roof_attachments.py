"""Lag screws, wind pressure and attachments.

ROOF-01: NDS eq. 12.2-1 and Table 12.2A (5/16 in confirmed on a public permit record of Santa Ana). ROOF-02, -03: public
permit record of Everett, Washington (at 115 mph it prints 24.3 psf, 0.7 % below the equation: we follow the equation).
ROOF-06: formula confirmed, our inputs. ROOF-07, -08: engineers' sheets in public permit records of Santa Ana,
California (April 2023, January 2025). ROOF-09: another public permit record of Everett, at 97 mph.
"""

import pytest

from sizing.structure.fasteners import (
    SPECIFIC_GRAVITY,
    allowed_withdrawal_lb,
    attachments,
    withdrawal_lb_per_in,
)
from sizing.structure.wind import dead_load_psf, net_uplift_psf, velocity_pressure_psf
from tests.published.cases import case


@case("ROOF-01")
@pytest.mark.parametrize(
    ("diameter_in", "by_gravity"),
    [
        (5 / 16, {0.42: 205, 0.43: 212, 0.46: 235, 0.50: 266, 0.55: 307}),
        (3 / 8, {0.42: 235, 0.43: 243, 0.46: 269, 0.50: 305, 0.55: 352}),
        (1 / 4, {0.50: 225}),
    ],
)
def test_roof_01_withdrawal_as_the_table_prints_it(diameter_in, by_gravity):
    assert {gravity: round(withdrawal_lb_per_in(gravity, diameter_in)) for gravity in by_gravity} == by_gravity


@case("ROOF-02")
def test_roof_02_permit_record_of_douglas_fir():
    gravity = SPECIFIC_GRAVITY["douglas fir-larch"]
    assert withdrawal_lb_per_in(gravity, 5 / 16) * 2.0 == pytest.approx(532, rel=0.005)
    assert allowed_withdrawal_lb(gravity, 5 / 16, 2.0) == pytest.approx(851.2, rel=0.005)


@case("ROOF-03")
@pytest.mark.parametrize(("speed_mph", "psf"), [(98, 17.8), (115, 24.5)])
def test_roof_03_velocity_pressure(speed_mph, psf):
    assert velocity_pressure_psf(speed_mph) == pytest.approx(psf, abs=0.05)


@case("ROOF-06")
def test_roof_06_lags_against_uplift():
    allowed = allowed_withdrawal_lb(SPECIFIC_GRAVITY["spruce-pine-fir"], 5 / 16, 2.5)
    assert allowed == pytest.approx(819, abs=0.5)
    plan = attachments(
        area_ft2=17.5 * 11, net_uplift_psf=30, allowed_lb=allowed, rail_length_ft=17.5, rails=4, largest_spacing_ft=4
    )
    assert plan.uplift_lb == pytest.approx(5_775)
    assert plan.by_strength == 8
    # 17.5 ft at 4 ft: five bays, six attachments on each of four rails
    assert (plan.by_spacing, plan.attachments) == (24, 24)


@case("ROOF-07")
def test_roof_07_flush_modules_on_one_anchor_of_two_lags():
    """110 mph, Kz 0.57: qh 15.01 psf; p = qh x 2 x 1.5 x 0.76; 0.6 of it less 0.6 x 2.9 psf on 12.7 ft2: 238.9 lb."""
    pressure = velocity_pressure_psf(110, kz=0.57)
    assert pressure == pytest.approx(15.01, abs=0.005)
    uplift = net_uplift_psf(pressure, -2.0, edge_factor=1.5, equalization_factor=0.76, dead_psf=2.9)
    assert uplift * 12.7 == pytest.approx(238.9, rel=0.005)
    # its lags: 266 lb/in, 3.25 in, 1.6 for wind, two of them; its 0.8 for a hot roof is its engineer's own
    per_lag = allowed_withdrawal_lb(SPECIFIC_GRAVITY["douglas fir-larch"], 5 / 16, 3.25)
    assert 2 * per_lag * 0.8 == pytest.approx(2213.12, rel=0.005)


@case("ROOF-08")
@pytest.mark.parametrize(
    ("gcp", "wind_lb", "net_lb"), [(2.00, 393.6, 358.0), (2.58, 507.0, 471.5), (3.07, 603.6, 568.0)]
)
def test_roof_08_uplift_of_a_connection_by_roof_zone(gcp, wind_lb, net_lb):
    """24.3 psf as it prints it, 0.68 for equalization, 19.8 ft2 a connection, 35.6 lb of 0.6 x dead load."""
    given = {"equalization_factor": 0.68}
    assert net_uplift_psf(24.3, -gcp, **given) * 19.8 == pytest.approx(wind_lb, rel=0.005)
    assert net_uplift_psf(24.3, -gcp, dead_psf=35.6 / 0.6 / 19.8, **given) * 19.8 == pytest.approx(net_lb, rel=0.005)


@case("ROOF-09")
@pytest.mark.parametrize(("gcp", "edge", "wind_psf", "net_lb"), [(1.5, 1.0, 22.6, 130.1), (2.5, 1.5, 56.4, 350.1)])
def test_roof_09_exposed_modules_count_half_as_much_again(gcp, edge, wind_psf, net_lb):
    """97 mph, Kz 0.94, Ke 0.99: 19.1 psf; 10.8 ft2 a connection, 16.6 lb of 0.6 x dead load."""
    pressure = velocity_pressure_psf(97, kz=0.94, ke=0.99)
    assert pressure == pytest.approx(19.1, abs=0.05)
    given = {"edge_factor": edge, "equalization_factor": 0.79}
    assert net_uplift_psf(pressure, -gcp, **given) / 0.6 == pytest.approx(wind_psf, rel=0.005)
    net = net_uplift_psf(pressure, -gcp, dead_psf=16.6 / 0.6 / 10.8, **given) * 10.8
    assert net == pytest.approx(net_lb, rel=0.005)


def test_uplift_less_six_tenths_of_the_weight_and_never_below_zero():
    # arithmetic on ASCE 7-16 2.4.1: 0.6 x 20 x 1.5 - 0.6 x 3
    assert net_uplift_psf(20, -1.5, dead_psf=3) == pytest.approx(16.2)
    assert net_uplift_psf(1, -0.1, dead_psf=3) == 0
    # 21.5 kg on 1.944 m2: 2.27 psf and half a pound of racking
    assert dead_load_psf(21.5, 1.72 * 1.13) == pytest.approx(2.77, abs=0.01)
