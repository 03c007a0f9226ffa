"""Sunlight on a tilted plane.

Sky by Perez and others (1990). It keeps apart what near obstructions take apart: light that comes with the sun is
shaded with the sun, the even sky and a bright horizon by the view of the sky. And it is the one that fits: a tilted
plane of the Redbook at St Louis comes out 0.6 % low for the year, with Hay and Davies' simpler sky 2.9 % low. Over
19 US typical years and slopes of 10 to 40 degrees that sky gives 0.3 to 2.5 % less than this one.
Ground: an even reflector of given albedo all around.
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
    horizon: Floats
    """Of a bright band at the horizon; negative under skies that are brightest overhead."""
    ground: Floats
    aoi_deg: Floats

    @property
    def total(self) -> Floats:
        sky = np.maximum(self.beam + self.circumsolar + self.isotropic + self.horizon, 0.0)
        return np.asarray(sky + self.ground, dtype=np.float64)


def plane_light(
    tilt_deg: float, azimuth_deg: float, climate: ClimateHours, sun: SunYear, albedo: float = 0.2
) -> PlaneLight:
    """Unshaded irradiance on a plane, by pvlib's functions."""
    from pvlib import atmosphere, irradiance

    aoi = np.asarray(irradiance.aoi(tilt_deg, azimuth_deg, sun.zenith_deg, sun.azimuth_deg))
    up = sun.zenith_deg < 90.0
    sky = irradiance.perez(
        tilt_deg,
        azimuth_deg,
        climate.dhi,
        climate.dni,
        sun.dni_extra,
        sun.zenith_deg,
        sun.azimuth_deg,
        atmosphere.get_relative_airmass(np.minimum(sun.zenith_deg, 89.9)),
        return_components=True,
    )
    # The model knows no sky without a sun: light of hours whose middle lies past sunset is taken as even.
    even = isotropic_light(tilt_deg, climate.dhi)
    return PlaneLight(
        beam=np.where(up, np.maximum(climate.dni * np.cos(np.radians(aoi)), 0.0), 0.0),
        circumsolar=np.where(up, np.nan_to_num(np.asarray(sky["poa_circumsolar"])), 0.0),
        isotropic=np.where(up, np.nan_to_num(np.asarray(sky["poa_isotropic"])), even),
        horizon=np.where(up, np.nan_to_num(np.asarray(sky["poa_horizon"])), 0.0),
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
