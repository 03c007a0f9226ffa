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
