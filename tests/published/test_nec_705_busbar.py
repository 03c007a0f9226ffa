"""The 120 % rule of the busbar: NEC 705.12.

Rule confirmed on a licence-renewal course (2020, 2023); BUS-02 from a public forum thread on the 2023 edition; the
change from breaker rating to 125 % of inverter current (BUS-05) on a trade mailing list of 2014. BUS-07: the rule for
sources anywhere on a busbar on the same course, which says too that since 2020 it holds for all busbars, not only those
of panelboards; its number of 2023 from memory, and so is its use without a utility.
"""

import pytest

from sizing.electrical.editions import section
from sizing.electrical.interconnection import busbar_check, busbar_needed_a, opposite_end_allowed_a, stand_alone_busbar
from sizing.study.request import Service
from tests.published.cases import case


@case("BUS-01")
def test_bus_01_200_on_200_allows_32_a():
    assert opposite_end_allowed_a(200, 200) == pytest.approx(32.0)
    service = Service(rating_a=200, main_breaker_a=200, busbar_a=200)
    assert busbar_check(service, 32.0, "2020")[0].passes
    assert not busbar_check(service, 32.1, "2020")[0].passes


@case("BUS-02")
def test_bus_02_two_inverters_of_32_a():
    assert busbar_needed_a(200, 64, opposite_end=False) == pytest.approx(280)
    assert busbar_needed_a(200, 64, opposite_end=True) == pytest.approx(233, abs=0.5)
    for busbar in (200, 225):
        assert not busbar_check(Service(main_breaker_a=200, busbar_a=busbar), 64, "2023")[0].passes


@case("BUS-03")
@pytest.mark.parametrize(("busbar", "main", "allowed"), [(225, 200, 56), (200, 175, 52), (125, 100, 40)])
def test_bus_03_other_panels(busbar, main, allowed):
    assert opposite_end_allowed_a(busbar, main) == pytest.approx(allowed)


@case("BUS-05")
def test_bus_05_current_counts_not_the_breaker():
    assert busbar_check(Service(main_breaker_a=200, busbar_a=225), 34, "2017")[0].passes
    assert not busbar_check(Service(main_breaker_a=200, busbar_a=200), 32.5, "2017")[0].passes


@case("BUS-06")
@pytest.mark.parametrize(
    ("edition", "number"),
    [("2017", "705.12(B)(2)(3)(b)"), ("2020", "705.12(B)(3)(2)"), ("2023", "705.12(B)(2)")],
)
def test_section_moves_with_the_edition(edition, number):
    assert section("busbar", edition) == f"{edition} NEC {number}"
    assert busbar_check(Service(), 20, edition)[0].source == f"{edition} NEC {number}"


@case("BUS-07")
@pytest.mark.parametrize(
    ("edition", "number"), [("2017", "705.12(B)(2)(3)(a)"), ("2020", "705.12(B)(3)(1)"), ("2023", "705.12(B)(1)")]
)
def test_bus_07_sources_anywhere_on_a_busbar_ask_for_the_sum(edition, number):
    """125 % of the sources' current and the device ahead of the busbar, all of it: no 20 % more."""
    assert busbar_needed_a(100, 32, opposite_end=False) == pytest.approx(140)
    assert section("busbar_sum", edition) == f"{edition} NEC {number}"
    # without a device ahead of it, the sources alone: 1.25 x (25 + 2 x 20) = 81.25 A
    sources = (("PV inverter", 1, 25.0), ("battery", 2, 20.0))
    for busbar_a, passes in ((81.0, False), (82.0, True)):
        check, line = stand_alone_busbar(Service(busbar_a=busbar_a), sources, edition)
        assert (check.passes, line.result) == (passes, pytest.approx(81.25))
        assert check.source.startswith(f"{edition} NEC {number}")
