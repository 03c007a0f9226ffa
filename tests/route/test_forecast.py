"""From a job's dates to spells, and from the office's spells to ranges of dates."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from projects.route.forecast.course import Course, Spell, course, spells
from projects.route.forecast.legs import LEGS, before, legs_for
from projects.route.forecast.posterior import fit
from projects.route.forecast.predict import THIN, forecast, simulate

TODAY = date(2026, 3, 2)
BOTH = legs_for(permits=("building", "electrical"), grid=True)


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def in_review(submitted: int = 10, *, present: frozenset[str] = BOTH, **more) -> Course:
    """A job whose permits went in so many days ago; the utility has its application."""
    ends = {
        "lead": ago(60),
        "site_assessment": ago(50),
        "engineering": ago(submitted + 4),
        "submittal": ago(submitted),
        "application": ago(submitted),
    }
    return course(7, present, ago(70), ends, jurisdiction="j1", utility="u1", **more)


def past(leg: str, days: list[int], group: str = "", *, finished: bool = True) -> list[Spell]:
    return [Spell(100 + n, leg, d, finished, group) for n, d in enumerate(days)]


def steady(days: int = 20, jobs: int = 30) -> list[Spell]:
    """An office in which every leg takes about so long."""
    spread = [max(0, round(days * (0.8 + 0.4 * n / (jobs - 1)))) for n in range(jobs)]
    return [
        spell
        for leg in LEGS
        for spell in past(leg.key, spread, {"jurisdiction": "j1", "utility": "u1", "": ""}[leg.pace])
    ]


def width(found) -> int:
    return (found.operation.high90 - found.operation.low90).days


def test_legs_wait_for_the_legs_that_a_job_has():
    assert before("scheduling", BOTH) == ("permit_building", "permit_electrical")
    exempt = legs_for(permits=(), grid=False)
    assert before("scheduling", exempt) == ("engineering",)
    assert "permission" not in exempt
    assert before("permission", BOTH) == ("inspection", "agreement")


def test_a_leg_begins_when_the_last_one_before_it_ended():
    found = in_review()
    assert found.legs["engineering"].entered == ago(50)
    assert found.legs["permit_building"].entered == ago(10)
    assert found.legs["scheduling"].entered is None


def test_jobs_still_waiting_and_lost_ones_are_censored():
    rows = {spell.leg: spell for spell in spells(in_review(), TODAY)}
    assert (rows["engineering"].days, rows["engineering"].finished) == (36, True)
    assert (rows["permit_building"].days, rows["permit_building"].finished) == (10, False)
    assert rows["permit_building"].group == "j1"
    assert rows["utility_review"].group == "u1"
    assert "scheduling" not in rows
    lost = {spell.leg: spell for spell in spells(in_review(ended_on=ago(3)), TODAY)}
    assert (lost["permit_building"].days, lost["permit_building"].finished) == (7, False)


def test_an_end_that_nobody_recorded_makes_no_spell():
    found = course(1, BOTH, ago(90), {"lead": ago(80), "engineering": ago(40)})
    assert {spell.leg for spell in spells(found, TODAY)} == {"lead", "submittal", "application"}
    assert found.legs["site_assessment"].left == ago(40)


def test_the_same_history_and_seed_give_the_same_dates():
    found = in_review()
    assert forecast(found, fit(steady()), TODAY) == forecast(found, fit(steady()), TODAY)
    assert forecast(found, fit(steady(), 1), TODAY, seed=1) != forecast(found, fit(steady(), 2), TODAY, seed=2)


def test_ranges_lie_inside_each_other_and_never_before_today():
    found = forecast(in_review(), fit(steady()), TODAY)
    for dates in (found.installation, found.operation):
        assert dates is not None
        assert TODAY <= dates.low90 <= dates.low50 <= dates.middle <= dates.high50 <= dates.high90
    assert found.installation.middle < found.operation.middle
    assert not found.thin


def test_few_jobs_give_wider_dates_than_many():
    few, many = (forecast(in_review(), fit(steady(jobs=jobs)), TODAY) for jobs in (3, 60))
    assert few.thin
    assert few.thinnest == 3 < THIN
    assert width(few) > 1.5 * width(many)


def test_without_any_history_there_is_still_an_honest_range():
    found = forecast(in_review(), fit([]), TODAY)
    assert found.thinnest == 0
    assert width(found) > 60


def test_time_already_waited_counts():
    history = fit(steady())
    fresh = simulate(in_review(1), history, TODAY)["permit_building"]
    ripe = simulate(in_review(18), history, TODAY)["permit_building"]
    assert np.median(fresh) == pytest.approx(19, abs=2)
    assert 0 < np.median(ripe) < 5
    overdue = simulate(in_review(200), history, TODAY)["permit_building"]
    assert overdue.min() >= 0
    assert np.isfinite(overdue).all()


def test_permits_run_beside_each_other_and_the_slower_one_counts():
    rows = [s for s in steady() if s.leg != "permit_electrical"] + past("permit_electrical", [60] * 30, "j1")
    ends = simulate(in_review(), fit(rows), TODAY)
    assert (ends["scheduling"] >= ends["permit_electrical"]).all()
    assert (ends["scheduling"] >= ends["permit_building"]).all()
    assert np.median(ends["permit_electrical"]) == pytest.approx(50, abs=4)


def test_a_long_utility_review_decides_the_permission_but_not_the_installation():
    rows = [s for s in steady(5) if s.leg != "utility_review"] + past("utility_review", [150] * 30, "u1")
    found, usual = (forecast(in_review(), fit(history), TODAY) for history in (rows, steady(5)))
    assert abs((found.installation.middle - usual.installation.middle).days) <= 1
    assert (found.operation.middle - usual.operation.middle).days > 90


def test_authorities_lend_each_other_what_is_known_and_keep_their_own_pace():
    slow = past("permit_building", [60, 62, 58, 61, 59, 63, 60, 57] * 3, "slow")
    quick = past("permit_building", [10, 11, 9, 10, 12, 8, 10, 11] * 3, "quick")
    leg = fit([*slow, *quick, *past("permit_building", [12], "new")])["permit_building"]
    rng = np.random.default_rng(1)
    days = {name: float(np.expm1(np.median(leg.mean_of(name, rng)))) for name in ("slow", "quick", "new", "unheard")}
    assert days["slow"] == pytest.approx(60, abs=4)
    assert days["quick"] == pytest.approx(10, abs=1.5)
    assert days["quick"] < days["new"] < days["unheard"] < days["slow"]


def test_a_booked_day_is_taken_to_hold_once_the_permits_allow_it():
    day = TODAY + timedelta(days=9)
    ends = {"lead": ago(80), "site_assessment": ago(70), "engineering": ago(60), "submittal": ago(55)}
    permitted = course(
        7, BOTH, ago(90), {**ends, "permit_building": ago(5), "permit_electrical": ago(4)}, booked_on=day
    )  # fmt: skip
    found = forecast(permitted, fit(steady()), TODAY)
    assert found.installation.low90 == found.installation.high90 == day
    waiting = forecast(in_review(1, booked_on=day), fit(steady()), TODAY)
    assert waiting.installation.middle > day


def test_off_the_grid_the_final_inspection_lets_the_system_run():
    present = legs_for(permits=(), grid=False)
    found = course(9, present, ago(40), {"lead": ago(30), "site_assessment": ago(20), "engineering": ago(10)})
    assert found.finish == "inspection"
    dates = forecast(found, fit(steady(10)), TODAY)
    assert dates.installation.middle < dates.operation.middle


def test_what_has_happened_is_no_longer_forecast():
    ends = {leg.key: ago(5) for leg in LEGS if leg.key in BOTH and leg.key not in ("permission",)}
    found = forecast(course(3, BOTH, ago(90), ends, utility="u1"), fit(steady()), TODAY)
    assert found.installation is None
    assert found.operation is not None
