"""The search against whole studies of what it finds, and the front and the wish by hand."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.backup.falls import falls, share_lasting
from sizing.backup.plant import hourly_need
from sizing.backup.survival import ride_through_hours
from sizing.errors import InputErrors
from sizing.search import Wish, search
from sizing.search.front import front, next_best
from sizing.study.example import example_request
from sizing.study.request import Appliance, Backup
from sizing.study.run import run_study

from .search_builders import catalogue
from .test_backup_survival import PLANT, weather

ROOMY = replace(
    example_request(),
    service=replace(example_request().service, busbar_a=225.0, main_breaker_a=150.0, free_breaker_spaces=8),
)


@pytest.fixture(scope="module")
def found():
    return search(ROOMY, catalogue(module_step=3, most_batteries=3), Wish(bill_offset=0.3, ride_through_share=0.9))


def study_of(item):
    space = catalogue()
    module = next(offer.module for offer in space.modules if offer.module.name == item.module)
    inverter = next(offer.inverter for offer in space.inverters if offer.inverter.name == item.inverter)
    battery = next((offer.battery for offer in space.batteries if offer.battery.name == item.battery), None)
    planes = tuple(replace(p, modules=n) for p, n in zip(ROOMY.planes, item.modules_by_plane, strict=True))
    return run_study(
        replace(
            ROOMY,
            module=module,
            inverter=inverter,
            inverter_count=item.inverter_count,
            battery=replace(battery, units=item.battery_units) if battery else None,
            planes=planes,
            strings=item.strings,
            generator=None,
        )
    )


def test_designs_of_the_front_pass_a_whole_study_with_the_same_figures(found):
    assert found.passing > 100 and len(found.front) > 5
    for item in found.front[:: max(len(found.front) // 6, 1)]:
        result = study_of(item)
        failing = [c.key for c in result.electrical.checks if not c.passes and not c.key.startswith("voltage_drop")]
        assert not failing
        assert all(check.passes for check in result.roof.checks)
        assert item.ac_kwh_year == pytest.approx(result.production.ac_kwh_year, rel=1e-9)
        assert item.saved_usd_year == pytest.approx(result.money.saved_month_mean_usd * 12, rel=1e-9)
        assert item.ride_through_share == pytest.approx(result.ride_through.share_of_starts_meeting_wanted, abs=1e-12)


def test_the_cheapest_that_meets_the_wish_and_what_the_next_dollar_buys(found):
    best, after = found.cheapest, found.runner_up
    assert best.bill_offset >= 0.3 and best.ride_through_share >= 0.9
    assert not any(
        item.cost_usd < best.cost_usd and item.bill_offset >= 0.3 and item.ride_through_share >= 0.9
        for item in found.front
    )
    assert after.cost_usd > best.cost_usd
    assert after.bill_offset > best.bill_offset or after.ride_through_share > best.ride_through_share
    assert found.closest is None


def test_an_impossible_wish_gets_the_closest_and_a_full_panel_says_why():
    tight = replace(ROOMY, service=replace(ROOMY.service, busbar_a=200.0, main_breaker_a=200.0))
    result = search(tight, catalogue(module_step=9, most_batteries=1), Wish(bill_offset=5.0))
    assert result.cheapest is None and result.closest is not None
    assert dict(result.failed)["interconnection.busbar"] > 0


def test_off_the_grid_and_without_tariff_it_refuses():
    for wrong in (replace(ROOMY, system_type="off_grid"), replace(ROOMY, tariff=None)):
        with pytest.raises(InputErrors):
            search(wrong, catalogue(), Wish())


@given(seed=st.integers(0, 10_000), hours=st.integers(1, 100), soc=st.sampled_from([1.0, 0.6]), peaks=st.booleans())
@settings(max_examples=60, deadline=None)
def test_shares_agree_with_the_ride_through_of_every_start(seed, hours, soc, peaks):
    dc, load = weather(seed, 20)
    if peaks:
        load[::91] = 5_600.0
    found = falls(hourly_need(PLANT, dc, load).change_wh, hours)
    shortfall = np.maximum(load / PLANT.inverter_efficiency + PLANT.standby_w - dc, 0)
    expected = (ride_through_hours(PLANT, dc, load, hours, soc) >= hours).mean()
    assert share_lasting(PLANT, found, load, shortfall, hours, soc) == expected


@given(seed=st.integers(0, 10_000))
@settings(max_examples=30, deadline=None)
def test_the_front_is_what_nothing_beats(seed):
    rng = np.random.default_rng(seed)
    cost, ride, offset = rng.integers(0, 6, (3, 40)).astype(float)
    kept = set(front(cost, ride, offset).tolist())

    def beaten(i):
        as_good = (cost <= cost[i]) & (ride >= ride[i]) & (offset >= offset[i])
        return (as_good & ((cost < cost[i]) | (ride > ride[i]) | (offset > offset[i]))).any()

    assert all(not beaten(i) for i in kept)
    points = {(cost[i], ride[i], offset[i]) for i in kept}
    assert points == {(cost[i], ride[i], offset[i]) for i in range(40) if not beaten(i)}


def test_next_best_takes_the_most_per_dollar():
    cost, ride, offset = np.array([10.0, 12, 20, 9]), np.array([0.5, 0.6, 0.9, 0.4]), np.array([0.3, 0.3, 0.3, 0.9])
    assert next_best(cost, ride, offset, 0, np.array([1, 2, 3])) == 1
    assert next_best(cost, ride, offset, 2, np.array([0, 1, 3])) is None


def test_a_system_that_needs_a_battery_gets_one_and_the_search_says_how_far_it_is():
    heard: list[tuple[str, float]] = []
    space = replace(catalogue(module_step=6, most_batteries=2), least_batteries=1)
    result = search(ROOMY, space, Wish(), lambda words, part: heard.append((words, part)))
    assert result.front and all(item.battery_units >= 1 for item in result.front)
    parts = [part for _, part in heard]
    assert parts[0] == 0 and parts == sorted(parts) and 0.8 < parts[-1] <= 1
    with pytest.raises(InputErrors, match="at least one battery"):
        search(ROOMY, replace(space, batteries=()), Wish())
    with pytest.raises(InputErrors, match="must be 0 to 2"):
        search(ROOMY, replace(space, least_batteries=3), Wish())


def test_without_batteries_on_offer_nothing_dearer_is_shown_that_saves_no_more():
    """An inverter that could form a grid by day is no reason to pay more where outages are not asked about."""
    lamp = Appliance("Lamp", "steady", 60.0, 24.0)
    backup = Backup(wanted_days=0.25)
    request = replace(ROOMY, system_type="grid_tied", battery=None, generator=None, appliances=(lamp,), backup=backup)
    space = catalogue(module_step=4)
    offer = space.inverters[0]
    plain = replace(offer, inverter=replace(offer.inverter, name="Plain", backup_power_w=0.0))
    dear = replace(
        plain, inverter=replace(plain.inverter, name="Dear", backup_power_w=5e3), price_usd=offer.price_usd + 3e3
    )
    answer = search(request, replace(space, inverters=(plain, dear), most_batteries=0), Wish(bill_offset=0.2))
    assert {item.inverter for item in answer.front} == {"Plain"}
    costs = [item.cost_usd for item in answer.front]
    offsets = [item.bill_offset for item in answer.front]
    assert len(costs) > 3
    assert costs == sorted(costs)
    assert all(later > earlier for earlier, later in itertools.pairwise(offsets))
