"""Shade geometry against published row-to-row cases: a long row in front is a long wall to the shade model."""

from __future__ import annotations

import numpy as np
import pytest

from sizing.study.request import Obstruction, RoofPlane
from sizing.sun.obstacles import hits_box, rays
from sizing.sun.shade import beam_factor, directions


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
