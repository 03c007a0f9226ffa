"""The rows: medians of processor time in one process, so that other work on the machine counts little."""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import time
import tracemalloc
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import count as count_up
from typing import Any

import numpy as np

from sizing.array.production import plane_year
from sizing.backup.designs import hours_short_of_designs, scaled
from sizing.backup.survival import ride_through_hours
from sizing.climate.choose import choose_climate
from sizing.search import Wish, search
from sizing.study.example import example_request
from sizing.study.request import Usage
from sizing.study.run import run_study
from sizing.sun.position import sun_year
from sizing.sun.shade import beam_factor
from tests.benchmarks.references import (
    PLANT,
    every_ray_beam_factor,
    loop_off_grid,
    loop_ride_through,
    obstructions,
    pandas_plane_w,
    storm_weather,
)
from tests.sizing.search_builders import with_own_inverters


@dataclass(frozen=True)
class Row:
    work: str
    ours_ms: float
    plain_ms: float | None
    agreement: str
    apart: float = 0.0
    """Largest difference from the reference."""
    megabytes: float = 0.0


def median_ms(work: Callable[[], Any], times: int) -> float:
    spent = []
    for _ in range(times):
        begun = time.process_time()
        work()
        spent.append(time.process_time() - begun)
    return statistics.median(spent) * 1000


def rows() -> Iterator[Row]:
    yield from planes()
    yield from outages()
    yield off_grid()
    yield searching()
    yield searching_off_grid()
    yield from shade()
    yield from studies()


def planes() -> Iterator[Row]:
    request = replace(example_request(), obstructions=())
    climate = choose_climate(request.site, request.climate).hours
    four = [replace(request.planes[0], azimuth_deg=azimuth, modules=10) for azimuth in (90.0, 180.0, 225.0, 270.0)]
    where = (climate.latitude_deg, climate.longitude_deg, climate.elevation_m, climate.utc_offset_h)

    def ours() -> list[np.ndarray]:
        return [plane_year(request, plane, climate, sun_year(*where)).dc_w for plane in four]

    def cold() -> None:
        sun_year.cache_clear()
        ours()

    def plain() -> list[np.ndarray]:
        return [pandas_plane_w(climate, plane, request.module).to_numpy() for plane in four]

    mine, theirs = ours(), plain()
    rating = 10 * request.module.power_w
    year = max(abs(float(a.sum() / b.sum()) - 1) for a, b in zip(mine, theirs, strict=True))
    hour = max(float(np.abs(a - b).max()) / rating for a, b in zip(mine, theirs, strict=True))
    says = f"year within {year:.3%}, hours within {hour:.2%} of rating"
    plain_ms = median_ms(plain, 3)
    yield Row("four planes, one year, sun cached", median_ms(ours, 9), plain_ms, says)
    yield Row("four planes, one year, nothing cached", median_ms(cold, 5), plain_ms, says)


def shade() -> Iterator[Row]:
    """A year of beam shade on one plane. Sample points come in Fibonacci numbers: 34 and 144 for 30 and 100."""
    request = example_request()
    climate = choose_climate(request.site, request.climate).hours
    sun = sun_year(climate.latitude_deg, climate.longitude_deg, climate.elevation_m, climate.utc_offset_h)
    for count, number in ((34, 10), (144, 30)):
        around = obstructions(number)
        asked = (request.planes[0], around, climate.latitude_deg, sun.elevation_deg, sun.azimuth_deg, climate.month)
        work = partial(beam_factor, *asked, count)
        ours = work()
        begun = time.process_time()
        plain = every_ray_beam_factor(*asked, count)
        plain_ms = (time.process_time() - begun) * 1000
        tracemalloc.start()
        work()
        megabytes = tracemalloc.get_traced_memory()[1] / 1e6
        tracemalloc.stop()
        apart = float(np.abs(ours - plain).max())
        says = f"hours within {apart:.0e}; {megabytes:.0f} MB at most"
        label = f"shade, {count} points x {number} obstructions, one year"
        yield Row(label, median_ms(work, 7), plain_ms, says, apart, megabytes)


def outages() -> Iterator[Row]:
    dc, heavy = storm_weather()
    every = 8
    light = np.where(heavy < 2_000, heavy * 0.4, heavy)
    for label, sun, load in (("short survival", dc * 0.3, heavy), ("long survival", dc, light)):
        ours = ride_through_hours(PLANT, sun, load, 336, 1.0)
        sun_list, load_list = sun.tolist(), load.tolist()
        begun = time.process_time()
        plain = loop_ride_through(PLANT, sun_list, load_list, 336, every)
        plain_ms = (time.process_time() - begun) * 1000 * every
        same = int((ours[::every] == plain).sum())
        spent = median_ms(partial(ride_through_hours, PLANT, sun, load, 336, 1.0), 15)
        says = f"{same} of {len(plain)} starts equal, median {np.median(ours):.0f} h; loop timed on every {every}th"
        yield Row(f"ride-through, 8,760 starts x 336 h, {label}", spent, plain_ms, says)


def off_grid() -> Row:
    dc, load = storm_weather()
    arrays, batteries = np.meshgrid(np.linspace(0.3, 2.5, 40), np.linspace(0.5, 4, 25))
    designs = scaled(PLANT, arrays.ravel(), batteries.ravel())
    short, _ = hours_short_of_designs(PLANT, designs, dc, load, designs.capacity_wh)
    dc_list, load_list, every = dc.tolist(), load.tolist(), 25
    begun = time.process_time()
    plain = [
        loop_off_grid(PLANT, arrays.ravel()[i], batteries.ravel()[i], dc_list, load_list) for i in range(0, 1000, every)
    ]
    plain_ms = (time.process_time() - begun) * 1000 * every
    same = int((short[::every] == plain).sum())
    spent = median_ms(lambda: hours_short_of_designs(PLANT, designs, dc, load, designs.capacity_wh), 7)
    says = f"{same} of {len(plain)} designs equal; loop timed on every {every}th"
    return Row("off-grid year, 1,000 designs", spent, plain_ms, says)


def searching() -> Row:
    base = example_request()
    service = replace(base.service, rating_a=400.0, main_breaker_a=200.0, busbar_a=400.0, free_breaker_spaces=20)
    space, last = with_own_inverters(largest_dc_over_ac=2.0), []

    def work() -> None:
        last[:] = [search(replace(base, service=service), space, Wish(0.4, 0.9))]

    spent = median_ms(work, 3)
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    says = f"{last[0].passing:,} pass; whole process at most {megabytes:.0f} MB"
    return Row(f"search, {last[0].tried:,} candidates", spent, None, says)


def searching_off_grid() -> Row:
    base = replace(example_request(), system_type="off_grid", tariff=None, usage=Usage(monthly_kwh=(250.0,) * 12))
    space, last = with_own_inverters(largest_dc_over_ac=2.0, least_batteries=1), []

    def work() -> None:
        last[:] = [search(base, space, Wish(carried_share=0.97, autonomy_days=2.0))]

    spent = median_ms(work, 3)
    return Row(f"search off the grid, {last[0].tried:,} candidates", spent, None, f"{last[0].passing:,} pass")


def studies() -> Iterator[Row]:
    yield Row("study, request to result, warm", _study_ms(), None, "")
    yield Row(
        "study of other trees, the rest warm", _other_trees_ms(), None, "two planes, a tree and a chimney changed"
    )
    yield _cold_study()


def _other_trees_ms() -> float:
    request, turn = example_request(), count_up(1)
    run_study(request)

    def work() -> None:
        taller = 0.001 * next(turn)
        run_study(
            replace(
                request,
                obstructions=tuple(replace(item, height_m=item.height_m + taller) for item in request.obstructions),
            )
        )

    return median_ms(work, 5)


def _cold_study() -> Row:
    """A process of its own, Python's start and every import included."""
    code = "from sizing.study.example import example_request as e; from sizing.study.run import run_study as r; r(e())"

    def work() -> float:
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-c", code], check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        return (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime) * 1000

    return Row(
        "study, request to result, cold process",
        statistics.median(work() for _ in range(3)),
        None,
        "Python's start included",
    )


def _study_ms() -> float:
    request = example_request()
    run_study(request)
    return median_ms(lambda: run_study(request), 5)
