"""What the office should know about the array before it goes to the customer."""

from __future__ import annotations

from sizing.study.result import PlaneResult, Production

LOW_ACCESS = 0.75
HIGH_CLIPPING = 0.03


def array_warnings(planes: tuple[PlaneResult, ...], production: Production) -> tuple[str, ...]:
    """Planes that lie in the shade and inverters that are too small. Both limits: common practice, no source."""
    warnings = [
        f"{plane.name} carries modules with only {plane.solar_access_year:.0%} of its sunlight left."
        for plane in planes
        if plane.modules and plane.solar_access_year < LOW_ACCESS
    ]
    clipped = production.losses[-1].fraction
    if clipped > HIGH_CLIPPING:
        warnings.append(
            f"The inverter's {production.ac_kw:g} kW limit costs {clipped:.1%} of the year; "
            f"{production.dc_kw:.1f} kW of modules want a larger inverter."
        )
    return tuple(warnings)
