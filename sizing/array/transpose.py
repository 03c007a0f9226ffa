"""Sunlight on a tilted plane.

Hay and Davies (1980) for the sky: it splits diffuse light into a part that comes with the sun (and is shaded with it)
and an isotropic part (shaded by the sky view), which is the split that near obstructions need; it stays well behaved on
years made from monthly means, whose hourly beam and diffuse are only modelled; and on roofs it lies within about a per
cent of finer models, on the low side. Ground: isotropic with a given albedo.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.climate.hours import ClimateHours, Floats
from sizing.sun.position import SunYear


@dataclass(frozen=True, eq=False)
class PlaneLight:
    """Parts of plane-of-array irradiance, W/m2, shape (8760,), and the angle of incidence in degrees."""

    beam: Floats
    circumsolar: Floats
    isotropic: Floats
    ground: Floats
    aoi_deg: Floats

    @property
    def total(self) -> Floats:
        return self.beam + self.circumsolar + self.isotropic + self.ground


def plane_light(
    tilt_deg: float, azimuth_deg: float, climate: ClimateHours, sun: SunYear, albedo: float = 0.2
) -> PlaneLight:
    """Unshaded irradiance on a plane, by pvlib's functions."""
    from pvlib import irradiance

    aoi = np.asarray(irradiance.aoi(tilt_deg, azimuth_deg, sun.zenith_deg, sun.azimuth_deg))
    beam = np.maximum(climate.dni * np.cos(np.radians(aoi)), 0.0)
    sky = irradiance.haydavies(
        tilt_deg,
        azimuth_deg,
        climate.dhi,
        climate.dni,
        sun.dni_extra,
        sun.zenith_deg,
        sun.azimuth_deg,
        return_components=True,
    )
    return PlaneLight(
        beam=beam,
        circumsolar=np.asarray(sky["poa_circumsolar"]),
        isotropic=np.asarray(sky["poa_isotropic"]),
        ground=ground_light(tilt_deg, climate.ghi, albedo),
        aoi_deg=aoi,
    )


def ground_light(tilt_deg: float, ghi: Floats, albedo: float) -> Floats:
    """Light that level ground all around reflects onto a plane, W/m2."""
    from pvlib import irradiance

    return np.asarray(irradiance.get_ground_diffuse(tilt_deg, ghi, albedo=albedo), dtype=np.float64)


def isotropic_light(tilt_deg: float, dhi: Floats) -> Floats:
    """Light of a uniformly bright sky on a plane (Liu and Jordan), W/m2."""
    from pvlib import irradiance

    return np.asarray(irradiance.isotropic(tilt_deg, dhi), dtype=np.float64)
