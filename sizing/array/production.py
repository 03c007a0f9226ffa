"""A year of the array: light, direct and alternating current by the hour, and what is lost on the way."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import lru_cache

import numpy as np

from sizing.array.power import (
    cell_temperature_c,
    dc_power_w,
    inverter_ac_w,
    light_through_glass,
    shaded_light,
    system_loss_factor,
)
from sizing.array.transpose import plane_light
from sizing.climate.hours import ClimateHours, Floats, month_of_hour, sum_by_month
from sizing.study.request import HorizonPoint, LossFractions, Obstruction, RoofPlane, StudyRequest
from sizing.study.result import LossStep, PlaneResult, Production
from sizing.sun.position import SunYear
from sizing.sun.shade import Shade, shade_of_plane

LOSS_NAMES = {
    "soiling": "Soiling",
    "mismatch": "Mismatch between modules",
    "wiring": "Wiring",
    "connections": "Connections",
    "light_induced": "Light-induced degradation",
    "nameplate": "Nameplate rating",
    "availability": "Downtime",
}
OPEN, SHADE, GLASS, HEAT = (
    "Sunlight on the open roof planes",
    "Shade",
    "Reflection at the glass",
    "Cell temperature",
)
INVERTER, CLIPPING = "Inverter conversion", "Inverter limit"


@dataclass(frozen=True, eq=False)
class PlaneYear:
    """One plane over the year. Energies of the plane's modules in kWh."""

    result: PlaneResult
    open_kwh: float
    shaded_kwh: float
    glass_kwh: float
    heat_kwh: float
    dc_w: Floats
    """Before system losses, shape (8760,)."""
    cell_c: Floats


@dataclass(frozen=True, eq=False)
class ArrayYear:
    planes: tuple[PlaneYear, ...]
    production: Production
    dc_w: Floats
    """After system losses, at the inverter's or charge controller's input, shape (8760,)."""
    ac_w: Floats
    """At the meter, shape (8760,)."""

    @property
    def plane_results(self) -> tuple[PlaneResult, ...]:
        return tuple(plane.result for plane in self.planes)


def array_year(request: StudyRequest, climate: ClimateHours, sun: SunYear) -> ArrayYear:
    """Work the whole chain for every plane of a request."""
    planes = tuple(plane_year(request, plane, climate, sun) for plane in request.planes)
    gross = np.sum([plane.dc_w for plane in planes], axis=0)
    left = system_loss_factor(request.losses)
    dc_w = gross * left
    rating_w = request.inverter.ac_power_w * request.inverter_count
    ac_w, unclipped_w = inverter_ac_w(dc_w, rating_w, request.inverter.efficiency)
    dc_kw = sum(plane.result.dc_kw for plane in planes)
    by_month = tuple(float(value) for value in sum_by_month(ac_w) / 1000.0)
    ac_kwh = float(ac_w.sum() / 1000.0)
    steps = _loss_steps(planes, request.losses, float(unclipped_w.sum() / 1000.0), ac_kwh)
    production = Production(
        dc_kw=dc_kw,
        ac_kw=rating_w / 1000.0,
        ac_kwh_by_month=by_month,
        ac_kwh_year=ac_kwh,
        specific_yield_kwh_per_kw=ac_kwh / dc_kw if dc_kw > 0 else 0.0,
        losses=steps,
    )
    return ArrayYear(planes, production, dc_w, ac_w)


def plane_year(request: StudyRequest, plane: RoofPlane, climate: ClimateHours, sun: SunYear) -> PlaneYear:
    """Light and DC power of one plane."""
    module = request.module
    light = plane_light(plane.tilt_deg, plane.azimuth_deg, climate, sun, request.ground_albedo)
    shade = _shade(replace(plane, name="", modules=0), request.obstructions, request.horizon, climate.latitude_deg, sun)
    left = shaded_light(light, shade, climate.month)
    open_w, shaded_w = light.total, left.total
    effective = light_through_glass(left, plane.tilt_deg)
    rated_w = module.power_w * plane.modules
    cell = cell_temperature_c(shaded_w, climate.temp_air_c, module.noct_c)
    dc_w = dc_power_w(effective, cell, rated_w, module.temp_coeff_pmax_pct_per_c / 100.0)
    kwh_per_w = rated_w / 1000.0 / 1000.0
    open_month, shaded_month = sum_by_month(open_w), sum_by_month(shaded_w)
    access = np.divide(shaded_month, open_month, out=np.ones(12), where=open_month > 0)
    total_open, total_shaded = float(open_w.sum()), float(shaded_w.sum())
    sky_weight = sum_by_month(light.isotropic)
    sky = float(shade.sky_by_month @ sky_weight / sky_weight.sum()) if sky_weight.sum() > 0 else 1.0
    result = PlaneResult(
        name=plane.name,
        modules=plane.modules,
        dc_kw=rated_w / 1000.0,
        poa_kwh_per_m2_year=total_shaded / 1000.0,
        poa_unshaded_kwh_per_m2_year=total_open / 1000.0,
        solar_access_by_month=tuple(float(value) for value in access),
        solar_access_year=total_shaded / total_open if total_open > 0 else 1.0,
        sky_view_fraction=sky,
    )
    return PlaneYear(
        result=result,
        open_kwh=total_open * kwh_per_w,
        shaded_kwh=total_shaded * kwh_per_w,
        glass_kwh=float(effective.sum()) * kwh_per_w,
        heat_kwh=float(dc_w.sum()) / 1000.0,
        dc_w=dc_w,
        cell_c=cell,
    )


@lru_cache(maxsize=64)
def _shade(
    plane: RoofPlane,
    obstructions: tuple[Obstruction, ...],
    horizon: tuple[HorizonPoint, ...],
    latitude_deg: float,
    sun: SunYear,
) -> Shade:
    """Kept from one study to the next: designs change more often than roofs and trees."""
    return shade_of_plane(
        plane, obstructions, latitude_deg, sun.elevation_deg, sun.azimuth_deg, month_of_hour(), horizon
    )


def _loss_steps(
    planes: tuple[PlaneYear, ...], losses: LossFractions, unclipped_kwh: float, ac_kwh: float
) -> tuple[LossStep, ...]:
    """Energy after each step; the last one is the year at the meter."""
    after = [
        (OPEN, sum(plane.open_kwh for plane in planes)),
        (SHADE, sum(plane.shaded_kwh for plane in planes)),
        (GLASS, sum(plane.glass_kwh for plane in planes)),
        (HEAT, sum(plane.heat_kwh for plane in planes)),
    ]
    energy = after[-1][1]
    for loss in fields(losses):
        energy *= 1.0 - float(getattr(losses, loss.name))
        after.append((LOSS_NAMES[loss.name], energy))
    after += [(INVERTER, unclipped_kwh), (CLIPPING, ac_kwh)]
    steps: list[LossStep] = []
    before = after[0][1]
    for name, kwh in after:
        steps.append(LossStep(name, 1.0 - kwh / before if before > 0 else 0.0, kwh))
        before = kwh
    return tuple(steps)
