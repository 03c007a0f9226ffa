"""Ampacity of conductors: NEC Table 310.16, 310.15(B)(1), 310.15(C)(1), 690.8, 110.14(C), 240.4(D).

Tables confirmed on a public page of the 2023 edition (COND-01, COND-02), the circuit of COND-03 in a trade article on
the 2014 edition, COND-07 on a cable maker's page; the combination of COND-04 is ours.
"""

import pytest

from sizing.electrical.conductors import (
    ambient_factor,
    ampacity_a,
    bundling_factor,
    choose_conductor,
    conduit_ambient_c,
)
from sizing.electrical.overcurrent import next_rating_a
from tests.published.cases import case


@case("COND-01")
@pytest.mark.parametrize(
    ("size", "by_column"),
    [
        ("14", (15, 20, 25)), ("12", (20, 25, 30)), ("10", (30, 35, 40)), ("8", (40, 50, 55)), ("6", (55, 65, 75)),
        ("4", (70, 85, 95)), ("2", (95, 115, 130)), ("1/0", (125, 150, 170)), ("2/0", (145, 175, 195)),
        ("4/0", (195, 230, 260)),
    ],
)  # fmt: skip
def test_cond_01_copper(size, by_column):
    assert tuple(ampacity_a(size, column) for column in (60, 75, 90)) == by_column


@case("COND-02")
@pytest.mark.parametrize(
    ("band", "factor"),
    [((31, 35), 0.96), ((36, 40), 0.91), ((41, 45), 0.87), ((46, 50), 0.82), ((51, 55), 0.76), ((56, 60), 0.71)],
)
def test_cond_02_ambient_90_c(band, factor):
    assert {ambient_factor(temperature) for temperature in band} == {factor}


@case("COND-02")
def test_cond_02_ambient_90_c_beyond_the_usual():
    # public transcript of Table 310.15(B)(2)(a)
    by_upper_end = {10: 1.15, 15: 1.12, 20: 1.08, 25: 1.04, 30: 1.0, 65: 0.65, 70: 0.58, 75: 0.50, 80: 0.41, 85: 0.29}
    assert {upper: ambient_factor(upper) for upper in by_upper_end} == by_upper_end
    with pytest.raises(ValueError):
        ambient_factor(86)


@case("COND-02")
@pytest.mark.parametrize(
    ("counts", "factor"), [((1, 3), 1.0), ((4, 6), 0.80), ((7, 9), 0.70), ((10, 20), 0.50), ((21, 30), 0.45)]
)
def test_cond_02_bundling(counts, factor):
    assert {bundling_factor(count) for count in counts} == {factor}


@case("COND-03")
def test_cond_03_source_circuit_of_8_8_a():
    current = 8.8 * 1.25
    assert current == pytest.approx(11.0)
    choice = choose_conductor(current, ambient_c=30, current_carrying=2)
    assert current * 1.25 == pytest.approx(13.75)
    assert choice.size == "14"


@case("COND-04")
def test_cond_04_three_strings_in_one_tubing_on_a_warm_day():
    current = 13.9 * 1.25
    assert current == pytest.approx(17.375)
    assert current * 1.25 == pytest.approx(21.72, abs=0.005)
    assert ampacity_a("14") * ambient_factor(37) * bundling_factor(6) == pytest.approx(18.2)
    bare = choose_conductor(current, ambient_c=37, current_carrying=6)
    assert (bare.size, bare.terminal_ampacity_a) == ("12", 25)
    assert bare.corrected_ampacity_a == pytest.approx(21.84)
    assert bare.governed_by == "continuous current at the terminals"
    device = next_rating_a(current * 1.25)
    assert device == 25
    assert choose_conductor(current, ambient_c=37, current_carrying=6, overcurrent_a=device).size == "10"


@case("COND-07")
def test_cond_07_close_to_a_hot_roof():
    assert ampacity_a("10") * ambient_factor(70) == pytest.approx(23.2)
    assert ampacity_a("10") * ambient_factor(70) * bundling_factor(10) == pytest.approx(11.6)
    assert ampacity_a("12") * ambient_factor(70) == pytest.approx(17.4)
    assert ampacity_a("14") * ambient_factor(70) == pytest.approx(14.5)
    # since the 2020 edition the band is split (from memory)
    assert ambient_factor(61) == ambient_factor(65) == 0.65


@case("COND-05")
@pytest.mark.parametrize(
    ("in_sun", "above_mm", "ambient_c"), [(True, 22.0, 69.0), (True, 23.0, 36.0), (False, 0.0, 36.0)]
)
def test_cond_05_raceway_on_a_roof(in_sun, above_mm, ambient_c):
    # closer than 7/8 in (23 mm): 33 C (60 F) more; from memory
    assert conduit_ambient_c(36.0, in_sun, above_mm) == pytest.approx(ambient_c)
