"""Runs of dark days in years made from monthly means beside those of real typical years.

``python -m tests.benchmarks.dark_runs`` prints, for each typical year that the module carries, the yearly irradiation
on a tilted plane and how long the longest runs of dark days are: in the file, and in years made from the file's own
twelve monthly means with twenty seeds. A day is dark when it has less than half of its month's mean; a run is broken by
one brighter day.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.array.transpose import plane_light
from sizing.climate.hours import DAYS_IN_MONTH, ClimateHours, Floats, Ints, sum_by_month
from sizing.climate.monthly import year_from_monthly_means
from sizing.climate.reader import read_typical_year
from sizing.climate.shelf import bundled
from sizing.sun.position import sun_year

SEEDS = range(1, 21)
DARK_SHARE = 0.5
LENGTHS = (1, 2, 3, 4, 5, 6)


@dataclass(frozen=True)
class Comparison:
    name: str
    real_poa_kwh: float
    """kWh/m2 a year on a south slope of latitude, at most 40 degrees."""
    made_poa_kwh: tuple[float, ...]
    real_runs: Ints
    """Runs a year that last at least as many days as LENGTHS says."""
    made_runs: Floats
    """The same, mean over the seeds."""
    real_longest: int
    made_longest: tuple[int, ...]
    real_darkest_kwh: tuple[float, ...]
    """Least light on level ground in any 1, 3 and 7 days on end, kWh/m2 a day."""
    made_darkest_kwh: tuple[tuple[float, ...], ...]


def daily_kwh(climate: ClimateHours) -> Floats:
    return np.asarray(climate.ghi.reshape(365, 24).sum(axis=1) / 1000.0)


def dark_runs(daily: Floats) -> list[int]:
    """Lengths of all runs of days with less than half of their month's mean."""
    means = sum_by_month(np.repeat(daily / 24.0, 24)) / np.array(DAYS_IN_MONTH)
    dark = daily < DARK_SHARE * np.repeat(means, DAYS_IN_MONTH)
    edges = np.flatnonzero(np.diff(np.concatenate(([0], dark.astype(int), [0]))))
    return [int(end - start) for start, end in edges.reshape(-1, 2)]


def darkest(daily: Floats, days: int) -> float:
    return float(np.convolve(daily, np.ones(days) / days, mode="valid").min())


def poa_kwh(climate: ClimateHours) -> float:
    sun = sun_year(climate.latitude_deg, climate.longitude_deg, climate.elevation_m, climate.utc_offset_h)
    light = plane_light(min(abs(climate.latitude_deg), 40.0), 180.0, climate, sun)
    return float(light.total.sum() / 1000.0)


def compare(real: ClimateHours) -> Comparison:
    days = np.array(DAYS_IN_MONTH)
    means = sum_by_month(real.ghi) / 1000.0 / days
    temps = sum_by_month(real.temp_air_c) / 24.0 / days
    where = (real.latitude_deg, real.longitude_deg, real.elevation_m, real.utc_offset_h)
    made = [year_from_monthly_means(means, temps, *where, seed) for seed in SEEDS]
    real_daily, made_daily = daily_kwh(real), [daily_kwh(year) for year in made]
    real_runs, made_runs = dark_runs(real_daily), [dark_runs(daily) for daily in made_daily]
    return Comparison(
        real.name,
        poa_kwh(real),
        tuple(poa_kwh(year) for year in made),
        np.array([sum(run >= length for run in real_runs) for length in LENGTHS]),
        np.array([sum(run >= length for runs in made_runs for run in runs) / len(made) for length in LENGTHS]),
        max(real_runs),
        tuple(max(runs) for runs in made_runs),
        tuple(darkest(real_daily, span) for span in (1, 3, 7)),
        tuple(tuple(darkest(daily, span) for span in (1, 3, 7)) for daily in made_daily),
    )


def comparisons() -> list[Comparison]:
    return [compare(read_typical_year(file.path)) for file in bundled()]


if __name__ == "__main__":
    for found in comparisons():
        made = np.array(found.made_poa_kwh)
        darkest_days = np.array(found.made_darkest_kwh)
        print(found.name)
        print(
            f"  tilted plane, kWh/m2 a year: file {found.real_poa_kwh:.0f}, made {made.mean():.0f} "
            f"({made.min():.0f} to {made.max():.0f}), off by {made.mean() / found.real_poa_kwh - 1:+.1%}"
        )
        print(f"  {'runs of dark days a year of at least':38} " + " ".join(f"{length:5d}" for length in LENGTHS))
        print(f"  {'  file':38} " + " ".join(f"{count:5d}" for count in found.real_runs))
        print(f"  {'  made, mean of 20 years':38} " + " ".join(f"{count:5.1f}" for count in found.made_runs))
        longest = sorted(found.made_longest)
        print(
            f"  longest run, days: file {found.real_longest}, made {longest[0]} to {longest[-1]}, "
            f"median {longest[len(longest) // 2]}"
        )
        for at, span in enumerate((1, 3, 7)):
            print(
                f"  least light in {span} days on end, kWh/m2 a day: file {found.real_darkest_kwh[at]:.2f}, made "
                f"{np.median(darkest_days[:, at]):.2f} ({darkest_days[:, at].min():.2f} to "
                f"{darkest_days[:, at].max():.2f})"
            )
