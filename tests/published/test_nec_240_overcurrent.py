"""Overcurrent devices: NEC 240.6(A), 240.4(D), 690.9(A), 690.9(B) with 705.28.

List of 240.6(A) and 240.4(D) confirmed on public texts (fuse extras from memory); the exception of 690.9(A) from
memory. OCPD-05: example of a public page on string fuses.
"""

import pytest

from sizing.electrical.conductors import (
    SMALL_CONDUCTOR_MAX_A,
    SMALL_CONDUCTOR_MAX_ALUMINUM_A,
    ampacity_a,
    choose_conductor,
)
from sizing.electrical.overcurrent import next_rating_a, string_fuses
from sizing.electrical.tables import table
from tests.published.cases import case


@case("OCPD-01")
@pytest.mark.parametrize(
    ("current", "rating"), [(13.75, 15), (21.72, 25), (31.3, 35), (39.58, 40), (43.75, 45), (47.0, 50), (61, 70)]
)
def test_ocpd_01_next_standard_rating(current, rating):
    assert next_rating_a(current) == rating


@case("OCPD-01")
def test_ocpd_01_list_to_400_a():
    both = [float(row["rating_a"]) for row in table("overcurrent") if row["device"] == "both"]
    assert [rating for rating in both if rating <= 400] == [
        15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400
    ]  # fmt: skip
    assert [float(row["rating_a"]) for row in table("overcurrent") if row["device"] == "fuse"] == [1, 3, 6, 10, 601]


@case("OCPD-02")
def test_ocpd_02_small_conductors():
    assert SMALL_CONDUCTOR_MAX_A == {"14": 15, "12": 20, "10": 30}
    assert SMALL_CONDUCTOR_MAX_ALUMINUM_A == {"12": 15, "10": 25}


@case("OCPD-03")
def test_ocpd_03_two_strings_need_no_fuses_three_do():
    two, three = string_fuses(13.9, 2, 25), string_fuses(13.9, 3, 25)
    assert (two.backfeed_a, two.required) == (pytest.approx(17.375), False)
    assert (three.backfeed_a, three.required) == (pytest.approx(34.75), True)
    assert three.rating_a == 25


@case("OCPD-04")
def test_ocpd_04_inverter_of_7600_w():
    current = 7600 / 240
    assert current == pytest.approx(31.67, abs=0.005)
    assert current * 1.25 == pytest.approx(39.58, abs=0.005)
    assert next_rating_a(current * 1.25) == 40
    choice = choose_conductor(current, ambient_c=30, current_carrying=2, overcurrent_a=40)
    assert choice.size == "8"
    assert (ampacity_a("8", 75), ampacity_a("8", 60)) == (50, 40)


@case("OCPD-05")
def test_ocpd_05_a_string_of_9_5_a_takes_a_15_a_fuse():
    """1.56 x 9.5 A = 14.8 A, so 15 A, within the module's 20 A; two strings need none."""
    assert next_rating_a(9.5 * 1.25 * 1.25) == 15
    three = string_fuses(9.5, 3, 20)
    assert (three.required, three.rating_a) == (True, 15)
    assert not string_fuses(9.5, 2, 20).required
