"""Velocity pressure of the wind and the net uplift it leaves on modules close to a roof."""

from __future__ import annotations


def velocity_pressure_psf(
    speed_mph: float, *, kz: float = 0.85, kzt: float = 1.0, kd: float = 0.85, ke: float = 1.0
) -> float:
    """0.00256 Kz Kzt Kd Ke V^2, psf. Source: ASCE 7-16 eq. 26.10-1.

    A public permit record prints 24.3 psf at 115 mph, 0.7 % below the equation (rounding, or Ke of its elevation); we
    follow the equation.
    """
    return 0.00256 * kz * kzt * kd * ke * speed_mph**2


def net_uplift_psf(
    pressure_psf: float,
    gcp: float,
    *,
    edge_factor: float = 1.0,
    equalization_factor: float = 1.0,
    dead_psf: float = 0.0,
) -> float:
    """Allowable-stress uplift 0.6 W - 0.6 D on modules parallel to the roof, psf, never negative.

    ``gcp``: external pressure coefficient of the roof zone (negative for uplift), ``edge_factor`` 1.5 for exposed
    modules at the array's edge, ``equalization_factor`` at most 1. Source: ASCE 7-16 29.4.4 and 2.4.1.
    """
    wind = pressure_psf * max(-gcp, 0.0) * edge_factor * equalization_factor
    return max(0.6 * wind - 0.6 * dead_psf, 0.0)


def dead_load_psf(module_kg: float, area_m2: float, racking_psf: float = 0.5) -> float:
    """Weight of modules and racking on the roof, psf. The racking's half pound: common practice, no source."""
    return module_kg / area_m2 * 0.204816 + racking_psf
