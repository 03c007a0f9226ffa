"""Years made from monthly means beside the real typical years that pvlib carries, twenty seeds each.

The real years are TMY3 of Greensboro and Sand Point and TMY2 of Miami (NREL); ``python -m tests.benchmarks.dark_runs``
prints all that is compared here.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.benchmarks.dark_runs import Comparison, comparisons, dark_runs

GREENSBORO, MIAMI, SAND_POINT = "Greensboro", "Miami", "Sand Point"


@pytest.fixture(scope="module")
def found() -> dict[str, Comparison]:
    return {next(place for place in (GREENSBORO, MIAMI, SAND_POINT) if place in c.name): c for c in comparisons()}


@pytest.mark.parametrize("place", [GREENSBORO, MIAMI, SAND_POINT])
def test_a_tilted_plane_gets_the_years_light(found, place: str) -> None:
    """Sand Point is an island of fog at 55 degrees north, where broken clouds make most of the beam."""
    real, made = found[place].real_poa_kwh, np.array(found[place].made_poa_kwh)
    assert abs(made.mean() / real - 1.0) < 0.01
    assert np.abs(made / real - 1.0).max() < 0.03


def test_the_longest_run_of_dark_days_is_one_that_made_years_have(found) -> None:
    for place in found.values():
        assert min(place.made_longest) <= place.real_longest <= max(place.made_longest), place.name


def test_single_and_double_dark_days_are_no_rarer_than_in_the_real_year(found) -> None:
    """An outage study on a made year errs to the dark side, not to the bright one."""
    for place in found.values():
        assert np.all(place.made_runs[:2] >= place.real_runs[:2]), place.name


def test_a_dark_week_is_about_as_dark(found) -> None:
    for place in found.values():
        week = np.array(place.made_darkest_kwh)[:, 2]
        assert 0.8 * place.real_darkest_kwh[2] < np.median(week) < 1.1 * place.real_darkest_kwh[2], place.name


def test_runs_are_counted_as_one_would_by_hand() -> None:
    daily = np.full(365, 4.0)
    daily[[3, 4, 5, 9, 40]] = 0.5
    assert dark_runs(daily) == [3, 1, 1]
