"""From light on the glass to direct and alternating current."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np

from sizing.array.transpose import PlaneLight
from sizing.climate.hours import Floats, Ints
from sizing.study.request import LossFractions
from sizing.sun.shade import Shade

ETA_REFERENCE = 0.9637


def shaded_light(light: PlaneLight, shade: Shade, month: Ints) -> PlaneLight:
    """What obstructions leave: beam and circumsolar by the sun's factor, the rest of the sky by the view of it.

    A negative horizon band (a sky brightest overhead) stays whole, so that more shade never means more light.
    """
    view = shade.sky_by_month[month - 1]
    return PlaneLight(
        beam=light.beam * shade.beam,
        circumsolar=light.circumsolar * shade.beam,
        isotropic=light.isotropic * view,
        horizon=np.where(light.horizon > 0.0, light.horizon * view, light.horizon),
        ground=light.ground,
        aoi_deg=light.aoi_deg,
    )


@dataclass(frozen=True)
class DiffuseFactors:
    """Shares that the glass lets in of light from the even sky, the horizon band and the ground."""

    sky: float
    horizon: float
    ground: float


@lru_cache(maxsize=256)
def diffuse_factors(tilt_deg: float) -> DiffuseFactors:
    """Factors of a plane's slope (Marion 2017 over the glass model)."""
    from pvlib import iam

    factors = {name: float(value) for name, value in iam.marion_diffuse("physical", tilt_deg).items()}
    # A level plane sees no ground and its horizon edge on: no light to let in, no factor either.
    finite = {name: value if np.isfinite(value) else 0.0 for name, value in factors.items()}
    return DiffuseFactors(finite["sky"], finite["horizon"], finite["ground"])


def light_through_glass(light: PlaneLight, tilt_deg: float) -> Floats:
    """Plane-of-array irradiance less reflection at the module's glass, W/m2.

    Beam and circumsolar by Snell's and Fresnel's laws for 2 mm of glass of index 1.526 (De Soto 2006, pvlib's
    "physical" model).
    """
    from pvlib import iam

    direct = np.nan_to_num(np.asarray(iam.physical(light.aoi_deg)))
    share = diffuse_factors(tilt_deg)
    sky = (light.beam + light.circumsolar) * direct + light.isotropic * share.sky + light.horizon * share.horizon
    return np.asarray(np.maximum(sky, 0.0) + light.ground * share.ground, dtype=np.float64)


def cell_temperature_c(poa_w_per_m2: Floats, temp_air_c: Floats, noct_c: float) -> Floats:
    """Cell temperature from the module's nominal operating cell temperature (Ross 1976).

    Wind is left out: close to a roof little of it reaches the back of a module.
    """
    from pvlib import temperature

    return np.asarray(temperature.ross(poa_w_per_m2, temp_air_c, noct=noct_c), dtype=np.float64)


def dc_power_w(effective_w_per_m2: Floats, cell_c: Floats, rated_w: float, gamma_per_c: float) -> Floats:
    """DC power before system losses, never negative (equation of NREL/TP-6A20-62641)."""
    from pvlib import pvsystem

    power = pvsystem.pvwatts_dc(effective_w_per_m2, cell_c, rated_w, gamma_per_c)
    return np.maximum(np.asarray(power, dtype=np.float64), 0.0)


def system_loss_factor(losses: LossFractions) -> float:
    """Share of DC energy left after all loss fractions, multiplied and not added."""
    factor = 1.0
    for loss in fields(losses):
        factor *= 1.0 - float(getattr(losses, loss.name))
    return factor


def inverter_ac_w(dc_w: Floats, ac_rating_w: float, efficiency: float) -> tuple[Floats, Floats]:
    """AC power (clipped at the rating) and what it would be without clipping, W.

    Part-load curve of NREL/TP-6A20-62641 scaled to the inverter's weighted efficiency, by pvlib.
    """
    from pvlib import inverter

    dc_limit = ac_rating_w / efficiency
    ac = np.asarray(inverter.pvwatts(dc_w, dc_limit, efficiency, ETA_REFERENCE), dtype=np.float64)
    return ac, np.where(dc_w > dc_limit, dc_w * efficiency, ac)
