"""PV inverters behind batteries that have inverters of their own: what those can take, and a panel where both meet."""

from dataclasses import replace

import pytest

from sizing.electrical import study_electrical
from sizing.study.example import example_request
from sizing.study.request import Generator, Service, StudyRequest

LOW_C, HIGH_C = -12.0, 33.0
OWN = replace(example_request().battery, coupling="ac", units=1, max_charge_kw=5.0, max_discharge_kw=5.0)
FOLLOWER = replace(example_request().inverter, ac_power_w=6_000.0, backup_power_w=0.0)


def asked(**changes) -> StudyRequest:
    return replace(example_request(), inverter=FOLLOWER, battery=OWN, generator=None, **changes)


def found(request: StudyRequest):
    electrical, working, _ = study_electrical(request, LOW_C, HIGH_C)
    return {check.key: check for check in electrical.checks}, {line.key: line for line in working}


def test_pv_inverters_may_make_no_more_than_the_batteries_charge_at():
    """6 kW of PV against 5 kW a unit: two units, or a maker's own figure."""
    checks, working = found(asked())
    check = checks["storage.pv_in_outage"]
    assert (check.passes, check.value, check.limit) == (False, "6 kW", "1 × 5 = 5 kW")
    assert check.source == "common practice, no source" and "more batteries" in check.advice
    line = working["storage.pv_in_outage"]
    assert (line.result, line.limit, line.passes) == (6.0, 5.0, False)
    assert found(replace(asked(), battery=replace(OWN, units=2)))[0][check.key].passes
    stated = found(replace(asked(), battery=replace(OWN, most_pv_kw=7.6)))[0][check.key]
    assert stated.passes and stated.source == "datasheet of the battery"
    two = found(replace(asked(), inverter_count=2, battery=replace(OWN, most_pv_kw=7.6)))[0][check.key]
    assert (two.passes, two.value) == (False, "12 kW")


def test_a_battery_on_the_inverters_dc_side_is_not_asked():
    assert "storage.pv_in_outage" not in found(replace(asked(), battery=replace(OWN, coupling="dc")))[0]


def off_grid(**service) -> StudyRequest:
    return asked(system_type="off_grid", service=Service(**service))


@pytest.mark.parametrize(("busbar_a", "passes"), [(60.0, True), (57.0, False)])
def test_off_the_grid_the_panel_carries_all_that_its_sources_give(busbar_a: float, passes: bool):
    """6 kW and 5 kW at 240 V: 25.0 and 20.8 A, x 1.25 = 57.3 A; there is no supply breaker to add."""
    checks, working = found(off_grid(busbar_a=busbar_a))
    check, line = checks["stand_alone.busbar"], working["stand_alone.busbar"]
    assert (check.passes, check.value) == (passes, "1.25 × 45.8 = 57.3 A")
    assert (line.result, line.limit, line.passes) == (pytest.approx(57.29, abs=0.01), busbar_a, passes)
    assert "from memory" in check.source and "705.12" in check.source
    assert ("Put in a 60 A busbar" in check.advice) is not passes


def test_off_the_grid_a_busbar_that_nobody_has_read_is_refused_with_what_it_must_be():
    checks, working = found(off_grid(busbar_known=False))
    check = checks["stand_alone.busbar"]
    assert (check.passes, check.limit) == (False, "busbar not given")
    assert "record it with the electrical service" in check.advice and "57 A at least" in check.advice
    assert working[check.key].limit is None


def test_each_unit_counts_and_beyond_dwellings_panels_two_are_asked_for():
    """4 x 11.4 kW and 8 x 5 kW at 240 V: 190 and 166.7 A, x 1.25 = 445.8 A."""
    many = replace(off_grid(busbar_a=400.0), inverter=replace(FOLLOWER, ac_power_w=11_400.0), inverter_count=4)
    check = found(replace(many, battery=replace(OWN, units=8)))[0]["stand_alone.busbar"]
    assert not check.passes and check.value.endswith("= 445.8 A") and "two panels" in check.advice


def test_one_source_alone_is_not_asked_nor_is_a_house_beside_the_grid():
    alone = replace(off_grid(busbar_known=False), battery=replace(OWN, coupling="dc"))
    assert "stand_alone.busbar" not in found(alone)[0]
    assert "stand_alone.busbar" not in found(asked())[0]


@pytest.mark.parametrize(("units", "total"), [(1, "1.25 × 58.3 = 72.9 A"), (2, "1.25 × 66.7 = 83.3 A")])
def test_a_generator_behind_the_batteries_counts_where_it_gives_more_than_they_do(units: int, total: str):
    """8 kW at 240 V is 33.3 A, passed on in place of 20.8 A a unit: 25.0 + 33.3 with one, 25.0 + 41.7 with two."""
    with_it = replace(
        off_grid(busbar_a=100.0),
        battery=replace(OWN, units=units, most_pv_kw=8.0),
        generator=Generator("Mill 8", 8_000.0),
    )
    checks, working = found(with_it)
    assert checks["stand_alone.busbar"].value == total
    named = [term.symbol for term in working["stand_alone.busbar"].terms]
    assert any("generator" in words for words in named) is (units == 1)


def test_behind_a_critical_loads_panel_too():
    """8 kW is 33.3 A, 12.5 A beyond the one battery's 20.8: the least busbar grows by 1.25 x 12.5 / 1.2 = 13.0 A."""
    hybrid = asked()
    before = found(hybrid)[1]["interconnection.backup_busbar"]
    after = found(replace(hybrid, generator=Generator("Mill 8", 8_000.0)))[1]["interconnection.backup_busbar"]
    assert after.result - before.result == pytest.approx(1.25 * 12.5 / 1.2, abs=0.01)
    assert "generator" in str(after.terms) and "generator" not in str(before.terms)
