"""Shade of trees, buildings and chimneys."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.climate.hours import month_of_hour
from sizing.study.request import Obstruction, RoofPlane
from sizing.sun.obstacles import by_azimuth, hits_box, hits_tree, may_meet, rays
from sizing.sun.path import label, outline, sun_path
from sizing.sun.position import sun_year
from sizing.sun.shade import (
    beam_factor,
    directions,
    free_points,
    leaf_share,
    plane_points,
    shade_of_plane,
    sky_factor,
    transmittance_by_month,
)
from tests.sizing.study_builders import SOUTH

TREE = Obstruction("tree", 190.0, 12.0, 12.0, 8.0, crown_base_m=3.0)
HOURS = np.arange(0, 8760, 7)


def some_sun(latitude: float = 36.0):
    sun = sun_year(latitude, -79.0, 100.0, -5.0)
    return sun.elevation_deg[HOURS], sun.azimuth_deg[HOURS], month_of_hour()[HOURS]


def beam(plane: RoofPlane, *obstructions: Obstruction, latitude: float = 36.0) -> np.ndarray:
    return beam_factor(plane, obstructions, latitude, *some_sun(latitude))


obstructions = st.builds(
    Obstruction,
    kind=st.sampled_from(["tree", "building", "chimney"]),
    bearing_deg=st.floats(0.0, 360.0),
    distance_m=st.floats(1.0, 40.0),
    height_m=st.floats(1.0, 25.0),
    width_m=st.floats(0.3, 15.0),
    depth_m=st.one_of(st.none(), st.floats(0.3, 15.0)),
    crown_base_m=st.floats(0.0, 0.9),
    base_height_m=st.floats(0.0, 5.0),
)
planes = st.builds(
    RoofPlane,
    name=st.just("plane"),
    tilt_deg=st.floats(0.0, 60.0),
    azimuth_deg=st.floats(0.0, 360.0),
    width_m=st.floats(2.0, 15.0),
    slope_length_m=st.floats(1.0, 8.0),
    x_m=st.floats(-8.0, 8.0),
    y_m=st.floats(-8.0, 8.0),
)


@settings(max_examples=15, deadline=None)
@given(plane=planes, obstruction=obstructions, taller=st.floats(0.1, 15.0))
def test_a_taller_obstruction_never_lets_more_through(plane, obstruction, taller) -> None:
    grown = replace(obstruction, height_m=obstruction.height_m + taller)
    assert np.all(beam(plane, grown) <= beam(plane, obstruction) + 1e-12)
    assert np.all(sky_factor(plane, (grown,), 36.0) <= sky_factor(plane, (obstruction,), 36.0) + 1e-12)


@settings(max_examples=15, deadline=None)
@given(plane=planes, first=obstructions, second=obstructions.filter(lambda o: o.kind == "tree"))
def test_another_tree_never_lets_more_through_and_shares_stay_shares(plane, first, second) -> None:
    one, both = beam(plane, first), beam(plane, first, second)
    assert np.all(both <= one + 1e-12)
    assert np.all((both >= 0.0) & (both <= 1.0 + 1e-12))
    sky = sky_factor(plane, (first, second), 36.0)
    assert np.all((sky >= 0.0) & (sky <= 1.0 + 1e-12))


def test_nothing_in_the_way_is_exactly_one() -> None:
    assert np.all(beam(SOUTH) == 1.0)
    assert np.all(sky_factor(SOUTH, (), 36.0) == 1.0)


def test_what_stands_north_or_below_the_eaves_takes_no_beam() -> None:
    north = replace(TREE, bearing_deg=0.0)
    low = Obstruction("building", 180.0, 10.0, 2.5, 8.0)
    elevation, azimuth, month = some_sun()
    high_sun = (elevation > 5.0) & (azimuth > 95.0) & (azimuth < 265.0)
    for obstruction in (north, low):
        factor = beam_factor(SOUTH, (obstruction,), 36.0, elevation, azimuth, month)
        assert np.all(factor[high_sun] == 1.0)


def test_a_wall_to_the_south_blocks_the_low_sun_only() -> None:
    """Wall 10 m south of the eave, 5 m above it: the eave sees the sun above atan(5 / 10) = 26.6 degrees."""
    plane = replace(SOUTH, y_m=0.0, slope_length_m=0.1, tilt_deg=1.0)
    wall = Obstruction("building", 180.0, 10.0, 8.0, 400.0, depth_m=0.01)
    south = np.full(2, 180.0)
    factor = beam_factor(plane, (wall,), 36.0, np.array([26.0, 27.5]), south, np.array([6, 6]))
    assert factor.tolist() == [0.0, 1.0]


def test_an_endless_wall_takes_half_the_sky_of_a_wall_facing_it() -> None:
    """Isotropic view of a vertical plane: the part of the sky up to elevation e in front has the share sin(e)."""
    plane = RoofPlane("wall", 90.0, 180.0, 1.0, 0.02, eave_height_m=0.0)
    wall = Obstruction("building", 180.0, 10.0, 10.0 * np.tan(np.radians(30.0)), 100_000.0, depth_m=0.01)
    assert sky_factor(plane, (wall,), 36.0)[0] == pytest.approx(0.5, abs=0.01)


def test_leaves_let_the_winter_sun_through_on_each_hemisphere() -> None:
    assert leaf_share(36.0)[6] == 1.0
    assert leaf_share(36.0)[0] == 0.0
    assert leaf_share(-36.0)[6] == 0.0
    assert leaf_share(-36.0)[0] == 1.0
    assert set(leaf_share(10.0)) == {1.0}


def test_transmittance_follows_the_leaves() -> None:
    july, january, april = 6, 0, 3
    through = transmittance_by_month(TREE, 36.0)
    assert through[july] == pytest.approx(0.15)
    assert through[january] == pytest.approx(0.55)
    assert through[april] == pytest.approx(0.35)
    assert np.all(transmittance_by_month(replace(TREE, evergreen=True), 36.0) == 0.15)
    assert np.all(transmittance_by_month(replace(TREE, kind="building"), 36.0) == 0.0)


def test_months_seen_in_leaf_win_over_the_usual_ones() -> None:
    through = transmittance_by_month(replace(TREE, leaf_months=(5, 6, 7, 8, 9)), 36.0)
    assert through.tolist() == [0.55] * 4 + [0.15] * 5 + [0.55] * 3
    evergreen = replace(TREE, leaf_months=(5,), evergreen=True)
    assert np.all(transmittance_by_month(evergreen, 36.0) == 0.15)


def test_the_sky_behind_two_trees_follows_the_months_of_each() -> None:
    """Each month for itself: as if the year had that month's light alone."""
    near, far = Obstruction("tree", 170.0, 9.0, 12.0, 9.0), Obstruction("tree", 230.0, 11.0, 13.0, 8.0)
    trees = (replace(near, leaf_months=(4, 5, 6)), replace(far, leaf_months=(6, 7), transmittance_leaf_off=0.7))
    left = sky_factor(SOUTH, trees, 36.0)
    for month in range(1, 13):
        alone = tuple(
            replace(tree, evergreen=True, leaf_months=(), transmittance_leaf_on=float(through[month - 1]))
            for tree, through in ((tree, transmittance_by_month(tree, 36.0)) for tree in trees)
        )
        assert left[month - 1] == pytest.approx(sky_factor(SOUTH, alone, 36.0)[0], abs=1e-12)
    assert len(set(left.round(6))) == 4


def test_a_tree_in_the_way_passes_its_transmittance() -> None:
    """A crown as wide as a house straight in front of a small plane, sun low in the south."""
    plane = replace(SOUTH, width_m=0.5, slope_length_m=0.5, y_m=0.0)
    tree = Obstruction("tree", 180.0, 15.0, 20.0, 20.0)
    factor = beam_factor(plane, (tree,), 36.0, np.full(2, 20.0), np.full(2, 180.0), np.array([1, 7]))
    assert factor == pytest.approx([0.55, 0.15])


def test_points_lie_on_the_plane_and_not_on_the_chimney() -> None:
    points = plane_points(SOUTH)
    assert points[:, 2].min() > SOUTH.eave_height_m
    assert points[:, 2].max() < SOUTH.eave_height_m + SOUTH.slope_length_m * np.sin(np.radians(SOUTH.tilt_deg))
    rise = (points[:, 2] - SOUTH.eave_height_m) / np.tan(np.radians(SOUTH.tilt_deg))
    assert points[:, 1] == pytest.approx(SOUTH.y_m - SOUTH.slope_length_m * np.cos(np.radians(25.0)) / 2.0 + rise)
    chimney = Obstruction("chimney", 180.0, 2.7, 3.0, 2.0, depth_m=1.0, base_height_m=3.5)
    left = free_points(SOUTH, (chimney,), 144)
    assert len(left) < 144
    assert not np.any((np.abs(left[:, 0]) < 1.0) & (np.abs(left[:, 1] + 2.7) < 0.5))


def test_few_points_agree_with_many() -> None:
    """The year's beam of the plane with points as used, against eighteen times as many."""
    sun = sun_year(36.0, -79.0, 100.0, -5.0)
    elevation, azimuth, month = sun.elevation_deg[::5], sun.azimuth_deg[::5], month_of_hour()[::5]
    tree = replace(TREE, distance_m=20.0)
    used = beam_factor(SOUTH, (tree,), 36.0, elevation, azimuth, month).mean()
    many = beam_factor(SOUTH, (tree,), 36.0, elevation, azimuth, month, 2584).mean()
    assert used == pytest.approx(many, abs=0.001)


def test_shade_of_a_year_and_the_southern_hemisphere_mirror() -> None:
    """The same roof turned north and the tree put north, at the mirrored latitude, half a year later."""
    north_sun, south_sun = sun_year(36.0, 0.0, 0.0, 0.0), sun_year(-36.0, 0.0, 0.0, 0.0)
    month = month_of_hour()
    mirrored = replace(SOUTH, azimuth_deg=0.0, y_m=-SOUTH.y_m)
    north = shade_of_plane(
        SOUTH, (replace(TREE, bearing_deg=180.0),), 36.0, north_sun.elevation_deg, north_sun.azimuth_deg, month
    )
    south = shade_of_plane(
        mirrored, (replace(TREE, bearing_deg=0.0),), -36.0, south_sun.elevation_deg, south_sun.azimuth_deg, month
    )
    assert north.beam.mean() == pytest.approx(south.beam.mean(), abs=0.01)
    assert north.sky_by_month[0] == pytest.approx(south.sky_by_month[6], abs=0.003)


def test_the_outline_of_a_tree_stands_where_the_tree_stands() -> None:
    """A crown 8 m wide from 3 to 12 m high, 12 m away, seen from 3 m: the tangent to the ellipse of half axes 4 and 4.5
    m about a middle 4.5 m up rises by (d h + sqrt(d2 c2 + h2 a2 - a2 c2)) / (d2 - a2) = 108 / 128, 40.2 degrees."""
    pairs = np.array(outline(TREE, np.array([0.0, 0.0, 3.0])))
    assert pairs[:, 0].mean() == pytest.approx(190.0, abs=1.0)
    assert pairs[:, 1].max() == pytest.approx(40.2, abs=0.5)
    assert pairs[:, 0].max() - pairs[:, 0].min() == pytest.approx(2.0 * np.degrees(np.arcsin(4.0 / 12.0)), abs=3.0)


def test_an_outline_across_north_does_not_jump() -> None:
    pairs = np.array(outline(replace(TREE, bearing_deg=2.0), np.array([0.0, 0.0, 3.0])))
    assert np.abs(np.diff(pairs[:, 0])).max() < 5.0


def test_arcs_of_the_sun() -> None:
    path = sun_path(36.0, (SOUTH,), (TREE,))
    noon = {name: max(elevation for _, elevation in pairs) for name, pairs in path.arcs}
    assert list(noon.values()) == pytest.approx([90 - 36 - 23.45, 90 - 36 - 0.4, 90 - 36 + 23.45], abs=0.1)
    assert path.silhouettes[0][0] == label(TREE) == "Tree, south, 12 m away"
    marks = dict(path.hour_marks)
    assert len(marks["12:00"]) == 3
    assert all(azimuth == pytest.approx(180.0) for azimuth, _ in marks["12:00"])
    assert "2:00" not in marks


@pytest.mark.parametrize(("latitude", "arcs"), [(75.0, [False, True, True]), (-75.0, [True, True, False])])
def test_polar_night_has_no_arc(latitude: float, arcs: list[bool]) -> None:
    path = sun_path(latitude, (SOUTH,), ())
    assert [bool(pairs) for _, pairs in path.arcs] == arcs
    for _, pairs in path.arcs:
        steps = np.abs(np.diff([azimuth for azimuth, _ in pairs]))
        assert not steps.size or steps.max() < 30.0


def any_hit(obstruction: Obstruction, ray) -> np.ndarray:
    if obstruction.kind != "tree":
        return hits_box(obstruction, ray)
    trunk, crown = hits_tree(obstruction, ray)
    return trunk | crown


@settings(max_examples=40, deadline=None)
@given(plane=planes, obstruction=obstructions)
def test_no_ray_is_left_out_before_it_is_looked_at(plane, obstruction) -> None:
    """The quick test that leaves pairs out, against looking at every pair."""
    aim = directions(*(grid.ravel() for grid in np.meshgrid(np.arange(1.0, 90.0, 4.0), np.arange(0.0, 360.0, 5.0))))
    aim = aim[by_azimuth(aim)]
    points = plane_points(plane, 89)[::4]
    point, way = (grid.ravel() for grid in np.indices((len(points), len(aim))))
    ray = rays(obstruction, points[point], aim[way])
    hit = any_hit(obstruction, ray)
    kept = np.zeros((len(points), len(aim)), dtype=bool)
    kept[may_meet(obstruction, points, aim)] = True
    assert np.all(kept.ravel()[hit])


def solid_at(obstruction: Obstruction, at: np.ndarray) -> np.ndarray:
    """Whether points (n, 3) lie inside the shape, by its description alone."""
    bearing = np.radians(obstruction.bearing_deg)
    east = at[:, 0] - obstruction.distance_m * np.sin(bearing)
    north = at[:, 1] - obstruction.distance_m * np.cos(bearing)
    across, along = east * np.cos(bearing) - north * np.sin(bearing), east * np.sin(bearing) + north * np.cos(bearing)
    half_a = obstruction.width_m / 2.0
    half_b = (obstruction.depth_m or obstruction.width_m) / 2.0
    foot = obstruction.base_height_m
    top = foot + obstruction.height_m
    if obstruction.kind != "tree":
        return (np.abs(across) < half_a) & (np.abs(along) < half_b) & (at[:, 2] > foot) & (at[:, 2] < top)
    base = foot + obstruction.crown_base_m
    middle = (base + top) / 2.0
    flat = (across / half_a) ** 2 + (along / half_b) ** 2
    crown = (flat < 1.0) & (at[:, 2] > base) & (at[:, 2] < middle)
    crown |= flat + ((at[:, 2] - middle) / (top - middle)) ** 2 < 1.0
    return crown | ((np.hypot(across, along) < 0.04 * obstruction.width_m) & (at[:, 2] > foot) & (at[:, 2] < base))


@settings(max_examples=30, deadline=None)
@given(obstruction=obstructions, seed=st.integers(0, 10_000))
def test_rays_agree_with_walking_along_them(obstruction, seed) -> None:
    """Steps of 2 cm along a ray: whatever is walked into is met, and what is met is walked into or only grazed."""
    rng = np.random.default_rng(seed)
    eye = np.array([rng.uniform(-5, 5), rng.uniform(-5, 5), rng.uniform(2, 5)])
    bearing = np.radians(obstruction.bearing_deg)
    centre = np.array([np.sin(bearing), np.cos(bearing), 0.0]) * obstruction.distance_m
    centre[2] = obstruction.base_height_m + obstruction.height_m * rng.uniform(0.1, 1.0)
    aim = centre + rng.normal(0.0, obstruction.width_m / 2.0, 3) - eye
    aim[2] = abs(aim[2]) + 0.01
    aim /= np.linalg.norm(aim)
    walked = solid_at(obstruction, eye + np.arange(0.01, 90.0, 0.02)[:, None] * aim)
    ray = rays(obstruction, eye[None, :], aim[None, :])
    met = (
        np.logical_or(*hits_tree(obstruction, ray))[0] if obstruction.kind == "tree" else hits_box(obstruction, ray)[0]
    )
    if walked.sum() >= 2:
        assert met
    if met:
        slack = 0.05
        fatter = replace(
            obstruction,
            width_m=obstruction.width_m + slack,
            depth_m=None if obstruction.depth_m is None else obstruction.depth_m + slack,
            height_m=obstruction.height_m + slack,
        )
        assert solid_at(fatter, eye + np.arange(0.005, 90.0, 0.01)[:, None] * aim).any()
