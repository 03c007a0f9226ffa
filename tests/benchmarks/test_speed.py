"""Generous bounds on the table's rows, for machines slower and busier than the one it was measured on."""

import pytest

from tests.benchmarks import table
from tests.pace import slowness

pytestmark = [pytest.mark.speed, pytest.mark.filterwarnings("ignore")]


def test_planes():
    warm, cold = table.planes()
    assert warm.plain_ms / warm.ours_ms > 8
    assert cold.plain_ms / cold.ours_ms > 2


def test_outages_and_off_grid_years_agree_with_the_loops_and_are_far_faster():
    short, long = table.outages()
    many = table.off_grid()
    assert short.plain_ms / short.ours_ms > 15 and long.plain_ms / long.ours_ms > 80
    assert many.ours_ms < 300 * slowness()
    assert short.agreement.startswith("1095 of 1095") and long.agreement.startswith("1095 of 1095")
    assert many.agreement.startswith("40 of 40")


def test_search():
    assert table.searching().ours_ms < 6_000 * slowness()


def test_search_off_the_grid():
    assert table.searching_off_grid().ours_ms < 6_000 * slowness()


def test_shade_is_that_of_every_ray_and_stays_small():
    few, many = table.shade()
    assert few.plain_ms / few.ours_ms > 3 and many.plain_ms / many.ours_ms > 6
    assert few.ours_ms < 40 * slowness() and many.ours_ms < 400 * slowness()
    for row in (few, many):
        print(row.work, f"{row.ours_ms:.1f} ms", row.agreement)
        assert row.apart < 1e-12
    assert few.megabytes < 25 and many.megabytes < 250


def test_a_study_warm_and_in_a_process_of_its_own():
    warm, moved, cold = table.studies()
    for row in (warm, moved, cold):
        print(row.work, f"{row.ours_ms:.0f} ms")
    pace = slowness()
    assert warm.ours_ms < 300 * pace and moved.ours_ms < 400 * pace
    assert cold.ours_ms < 5_000 * pace
