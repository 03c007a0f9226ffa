"""The rows: medians of processor time in one process, so that other work on the machine counts little."""

from __future__ import annotations

import resource
import statistics
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from sizing.array.production import plane_year
from sizing.backup.designs import hours_short_of_designs, scaled
from sizing.backup.survival import ride_through_hours
from sizing.climate.choose import choose_climate
from sizing.search import Wish, search
from sizing.study.example import example_request
from sizing.study.run import run_study
from sizing.sun.position import sun_year
from tests.benchmarks.references import (
    PLANT,
    loop_off_grid,
    loop_ride_through,
    pandas_plane_w,
    storm_weather,
)
from tests.sizing.search_builders import catalogue


@dataclass(frozen=True)
class Row:
    work: str
    ours_ms: float
    plain_ms: float | None
    agreement: str


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
    yield Row("study, request to result, warm", _study_ms(), None, "")


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
    space, last = catalogue(largest_dc_over_ac=2.0), []

    def work() -> None:
        last[:] = [search(replace(base, service=service), space, Wish(0.4, 0.9))]

    spent = median_ms(work, 3)
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    says = f"{last[0].passing:,} pass; whole process at most {megabytes:.0f} MB"
    return Row(f"search, {last[0].tried:,} candidates", spent, None, says)


def _study_ms() -> float:
    request = example_request()
    run_study(request)
    return median_ms(lambda: run_study(request), 5)
