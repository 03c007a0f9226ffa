"""The measured horizon: what it hides of sun and sky, and that it never adds light."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.errors import InputErrors
from sizing.study.codec import request_from_dict, request_to_dict
from sizing.study.request import HorizonPoint, Obstruction
from sizing.study.run import run_study
from sizing.study.validate import check_request
from sizing.sun.horizon import beam_open, height_deg, silhouette
from sizing.sun.shade import sky_factor
from tests.sizing.study_builders import SOUTH, plain_request

HILL = (HorizonPoint(90.0, 0.0), HorizonPoint(180.0, 20.0), HorizonPoint(270.0, 0.0))


def test_between_two_points_it_runs_straight_and_past_north_too() -> None:
    heights = height_deg(HILL, np.array([90.0, 135.0, 180.0, 225.0, 0.0]))
    assert heights == pytest.approx([0.0, 10.0, 20.0, 10.0, 0.0])
    around = (HorizonPoint(350.0, 10.0), HorizonPoint(10.0, 20.0))
    assert height_deg(around, np.array([0.0, 355.0, 180.0])) == pytest.approx([15.0, 12.5, 15.0])
    assert height_deg((HorizonPoint(40.0, 7.0),), np.array([0.0, 200.0])) == pytest.approx([7.0, 7.0])


def test_the_sun_behind_the_hill_is_gone_and_over_it_is_whole() -> None:
    open_ = beam_open(HILL, np.array([19.9, 20.1, 9.0, 11.0, -5.0]), np.array([180.0, 180.0, 135.0, 135.0, 180.0]))
    assert open_.tolist() == [0.0, 1.0, 0.0, 1.0, 1.0]


@pytest.mark.parametrize("height", [5.0, 15.0, 30.0, 45.0])
def test_an_even_horizon_leaves_level_ground_the_square_of_its_cosine(height: float) -> None:
    """Geometry: the part of an even sky over elevation h that falls on level ground is cos(h) squared."""
    level = replace(SOUTH, tilt_deg=0.0)
    left = sky_factor(level, (), 36.0, horizon=(HorizonPoint(0.0, height),))
    assert left == pytest.approx(np.full(12, np.cos(np.radians(height)) ** 2), abs=0.002)


@settings(max_examples=12, deadline=None)
@given(
    heights=st.lists(st.floats(0.0, 40.0), min_size=1, max_size=8),
    more=st.floats(0.0, 20.0),
    tilt=st.floats(0.0, 60.0),
    azimuth=st.floats(0.0, 359.0),
)
def test_a_higher_horizon_never_raises_the_year(heights, more, tilt, azimuth) -> None:
    def year(add: float) -> float:
        points = tuple(HorizonPoint(i * 360.0 / len(heights), h + add) for i, h in enumerate(heights))
        plane = replace(SOUTH, tilt_deg=tilt, azimuth_deg=azimuth)
        return run_study(plain_request(planes=(plane,), horizon=points)).production.ac_kwh_year

    assert year(more) <= year(0.0) + 1e-9


def test_a_level_horizon_is_no_horizon_and_a_hill_costs_winter_more_than_summer() -> None:
    flat = run_study(plain_request())
    level = run_study(plain_request(horizon=(HorizonPoint(0.0, 0.0), HorizonPoint(180.0, 0.0))))
    assert level.production.ac_kwh_by_month == pytest.approx(flat.production.ac_kwh_by_month)
    hill = run_study(plain_request(horizon=HILL)).planes[0].solar_access_by_month
    assert hill[11] < hill[5] <= 1.0
    assert hill[11] < 0.97


def test_it_is_drawn_and_named_in_the_working() -> None:
    result = run_study(plain_request(horizon=HILL))
    name, outline = result.sun_path.silhouettes[0]
    assert name == "Horizon"
    assert max(elevation for _, elevation in outline) == pytest.approx(20.0)
    steps = np.diff([azimuth for azimuth, _ in outline])
    assert np.abs(steps).max() < 180.0
    access = next(line for line in result.working if line.key == "plane.0.solar_access")
    assert next(term for term in access.terms if term.symbol == "horizon").value == 20.0
    assert silhouette((HorizonPoint(0.0, 0.0),), 36.0) == ()


def test_south_of_the_equator_the_outline_does_not_break_in_the_north() -> None:
    azimuths = [azimuth for azimuth, elevation in silhouette(HILL, -33.0) if elevation >= 0.0]
    assert min(azimuths) > -180.0 and max(azimuths) < 180.0


def test_trees_and_horizon_together_take_no_less_than_either() -> None:
    tree = Obstruction("tree", 150.0, 12.0, 10.0, 6.0)
    both = run_study(plain_request(horizon=HILL, obstructions=(tree,))).production.ac_kwh_year
    assert both <= run_study(plain_request(horizon=HILL)).production.ac_kwh_year
    assert both <= run_study(plain_request(obstructions=(tree,))).production.ac_kwh_year


def test_what_can_not_be_is_named_and_the_rest_survives_json() -> None:
    wrong = (HorizonPoint(361.0, 5.0), HorizonPoint(90.0, 81.0), HorizonPoint(0.0, 3.0), HorizonPoint(360.0, 3.0))
    with pytest.raises(InputErrors) as caught:
        check_request(plain_request(horizon=wrong))
    fields = [problem.field for problem in caught.value.problems]
    assert fields == ["horizon[0].bearing_deg", "horizon[1].elevation_deg", "horizon[3].bearing_deg"]
    request = plain_request(horizon=HILL)
    assert request_from_dict(request_to_dict(request)) == request
    older = request_to_dict(request)
    del older["horizon"]
    assert request_from_dict(older).horizon == ()
