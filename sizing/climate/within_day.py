"""Clouds that come and go within a day: hourly clearness around the day's smooth course.

A day of broken clouds is no evenly grey day: its bright hours bring more beam than its dull ones lose, so that a tilted
plane gets more of the same daily sum. The fluctuations are those of Aguiar and Collares-Pereira (1992), "TAG: a
time-dependent, autoregressive, Gaussian model for generating synthetic hourly radiation", Solar Energy 49(3): Gaussian,
with memory from hour to hour, widest on days of middling clearness and when the sun is low. The formulas of their width
and memory are as several public programs that cite the paper have them; the paper itself was not at hand.
"""

from __future__ import annotations

import numpy as np

from sizing.climate.hours import Floats


def memory(day_kt: Floats) -> Floats:
    """Lag-one correlation of the hours of a day of clearness ``day_kt``."""
    return np.asarray(0.38 + 0.06 * np.cos(7.4 * day_kt - 2.5), dtype=np.float64)


def width(day_kt: Floats, sin_elevation: Floats) -> Floats:
    """Standard deviation of the hourly clearness index on a day of clearness ``day_kt``."""
    widest = 0.14 * np.exp(-20.0 * (day_kt - 0.35) ** 2)
    growth = 3.0 * ((day_kt - 0.45) ** 2 + 16.0 * day_kt**5)
    return np.asarray(widest * np.exp(growth * (1.0 - sin_elevation)), dtype=np.float64)


def broken_clouds(
    ghi: Floats, outside: Floats, sin_elevation: Floats, kt_limit: float, rng: np.random.Generator
) -> Floats:
    """``ghi`` with its hours scattered, W/m2; each day keeps its sum.

    ``ghi``, ``outside`` (on level ground above the air, W/m2) and ``sin_elevation`` have shape (8760,). No hour gets
    clearer than ``kt_limit``, or than its smooth course where that is clearer.
    """
    smooth, sky = ghi.reshape(365, 24), outside.reshape(365, 24)
    sums, most = smooth.sum(axis=1), sky.sum(axis=1)
    day_kt = np.divide(sums, most, out=np.zeros(365), where=most > 0)
    sigma = width(day_kt[:, None], np.maximum(sin_elevation.reshape(365, 24), 0.0))
    step = rng.standard_normal((365, 24))
    rho = memory(day_kt)
    course = np.empty((365, 24))
    course[:, 0] = step[:, 0]
    for hour in range(1, 24):
        course[:, hour] = rho * course[:, hour - 1] + np.sqrt(1.0 - rho**2) * step[:, hour]
    ceiling = np.maximum(kt_limit * sky, smooth)
    hours = np.clip(smooth + sigma * course * sky, 0.0, ceiling) * (smooth > 0)
    for _ in range(40):
        total = hours.sum(axis=1)
        factor = np.divide(sums, total, out=np.ones(365), where=total > 0)
        if np.abs(factor - 1.0).max() < 1e-12:
            break
        hours = np.minimum(hours * factor[:, None], ceiling)
    # A day whose every bright hour was clipped away, or that stands at its ceiling, keeps its smooth course.
    kept = np.abs(hours.sum(axis=1) - sums) <= 1e-9 * np.maximum(sums, 1.0)
    return np.asarray(np.where(kept[:, None], hours, smooth).reshape(8760))
