"""Shade geometry against published row-to-row cases: a long row in front is a long wall to the shade model."""

from __future__ import annotations

import numpy as np
import pytest

from sizing.study.request import Obstruction, RoofPlane
from sizing.sun.obstacles import hits_box, rays
from sizing.sun.shade import beam_factor, directions, plane_normal
from tests.published.cases import case


@case("SHADE-05")
@pytest.mark.parametrize(
    ("front_z", "behind_z", "off_axis", "shaded"),
    [
        (0.2, 0.0, 0.0, 1.0),
        (0.1, 0.0, 0.05, 0.937191),
        (0.0, 0.1, 0.0, 0.30605),
        (0.0, 0.2, 0.0, 0.0),
    ],
)
def test_shaded_fraction_of_a_row_behind_a_row(front_z: float, behind_z: float, off_axis: float, shaded: float) -> None:
    """Data set doi 10.5281/zenodo.10513987, as used in pvlib's test suite (test_shaded_fraction1d): rows 0.5 wide, 1
    apart, the front one tilted 50 and the one behind 25 towards the sun at zenith 80; ``off_axis`` is how far the
    surface lies from the row's axis. The front row's upper edge is the top of a wall here. All heights plus 1 m.
    """
    width, front, behind = 0.5, np.radians(50.0), np.radians(25.0)
    edge = 1.0 - width / 2.0 * np.cos(front) + off_axis * np.sin(front)
    top = 1.0 + front_z + width / 2.0 * np.sin(front) + off_axis * np.cos(front)
    lower_edge = 1.0 + behind_z - width / 2.0 * np.sin(behind) + off_axis * np.cos(behind)
    row = RoofPlane("behind", 25.0, 180.0, 2.0, width, eave_height_m=lower_edge, y_m=-off_axis * float(np.sin(behind)))
    wall = Obstruction("building", 180.0, edge, top, 2000.0, depth_m=1e-6)
    left = beam_factor(row, (wall,), 40.0, np.array([10.0]), np.array([180.0]), np.array([6]))
    assert 1.0 - left[0] == pytest.approx(shaded, abs=0.01)


@case("SHADE-07")
@pytest.mark.parametrize(("share", "less_light"), [("transmittance_leaf_on", 0.80), ("transmittance_leaf_off", 0.40)])
def test_crowns_let_a_little_less_through_than_was_measured(share: str, less_light: float) -> None:
    """Heisler (1986), Effects of individual trees on the solar radiation climate of small buildings, Urban Ecology 9:
    337-359, abstract: under clear skies a mid-sized sugar maple took about 80 % of the light from a south-facing wall
    in leaf and nearly 40 % leafless, a London plane slightly less. That counts the sky's light too, which the crown
    hides in part only; of the beam alone less gets through, by no more than a tenth of the sun's light here."""
    usual = getattr(Obstruction("tree", 180.0, 10.0, 10.0, 6.0), share)
    assert 1.0 - less_light - 0.10 <= usual <= 1.0 - less_light


@case("SHADE-01")
@pytest.mark.parametrize(("tilt", "angle"), [(20.0, 11.2022), (90.0, 20.5560)])
def test_masking_angle(tilt: float, angle: float) -> None:
    """Appelbaum and Bany's masking angle, values in pvlib's test suite (tests/test_shading.py): cover ratio 0.5, seen
    from a quarter up the slope. A ray just below it meets the row in front, just above it does not."""
    slope = 1.0
    pitch = slope / 0.5
    run, rise = slope * np.cos(np.radians(tilt)), slope * np.sin(np.radians(tilt))
    eye = np.array([[0.0, 0.25 * run, 0.25 * rise]])
    wall = Obstruction("building", 180.0, pitch - run, rise, 2000.0, depth_m=1e-6)
    aim = directions(np.array([angle - 0.01, angle + 0.01]), np.array([180.0, 180.0]))
    hit = hits_box(wall, rays(wall, np.repeat(eye, 2, axis=0), aim))
    assert hit.tolist() == [True, False]


@case("SHADE-04")
@pytest.mark.parametrize(("zenith", "shaded"), [(60.0, 0.0), (79.0, 0.5), (90.0, 1.0)])
def test_shade_between_rows_on_level_ground(zenith: float, shaded: float) -> None:
    """pvlib's test suite (test_shaded_fraction1d_unprovided_shading_row_rotation): rows tilted 30, 5.7735 up the slope,
    5 apart, the sun in the plane across the rows on the side of their high edges. The next row's high edge is the top
    of a wall; points lie along the row. Heights plus 2 m."""
    half_run = 5.7735 / 2.0 * np.cos(np.radians(30.0))
    along = np.linspace(-half_run, half_run, 401)
    points = np.stack([np.zeros(401), -along, 2.0 + along * np.tan(np.radians(30.0))], axis=1)
    wall = Obstruction("building", 180.0, 5.0 + half_run, 2.0 + half_run * np.tan(np.radians(30.0)), 4000.0, 1e-6)
    aim = np.repeat(directions(np.array([90.0 - zenith]), np.array([180.0])), 401, axis=0)
    assert hits_box(wall, rays(wall, points, aim)).mean() == pytest.approx(shaded, abs=0.01)


SLOPING_AXIS_DAY = (
    # elevation, azimuth, angle: 1 January 2019, 8 to 17 o'clock
    (2.404287, 122.791770, -84.440), (11.263058, 133.288729, -72.604), (18.733558, 145.285552, -59.861),
    (24.109076, 158.939435, -45.578), (26.810735, 173.931802, -28.764), (26.482495, 189.371536, -8.475),
    (23.170447, 204.136810, 15.120), (17.296785, 217.446538, 39.562), (9.461862, 229.102218, 61.587),
    (0.524817, 239.330401, 79.530),
)  # fmt: skip


@case("SHADE-03")
@pytest.mark.parametrize(("elevation", "azimuth", "angle"), SLOPING_AXIS_DAY)
def test_sun_seen_along_a_sloping_axis(elevation: float, azimuth: float, angle: float) -> None:
    """NREL, slope-aware backtracking (doi 10.2172/1660126), table as in pvlib's test suite: axis tilt 9.666, azimuth
    195. Nothing here follows the sun, so no tracker is tested, but the vectors that every shadow is cast with: the
    angle of the sun about an axis lying on a plane of that slope, from the plane's normal towards its western side.
    """
    up = plane_normal(9.666, 195.0)
    west = directions(np.array([0.0]), np.array([195.0 + 90.0]))[0]
    sun = directions(np.array([elevation]), np.array([azimuth]))[0]
    assert np.degrees(np.arctan2(sun @ west, sun @ up)) == pytest.approx(angle, abs=1e-3)
