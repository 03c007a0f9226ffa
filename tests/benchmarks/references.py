"""The obvious ways, written apart from sizing: a pvlib chain on pandas, loops in plain Python, every ray of a year."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pvlib

from sizing.backup.plant import Plant
from sizing.climate.hours import ClimateHours
from sizing.study.request import Module, Obstruction, RoofPlane
from sizing.sun.obstacles import hits_box, hits_tree, rays
from sizing.sun.shade import directions, free_points, plane_normal, transmittance_by_month


def pandas_plane_w(climate: ClimateHours, plane: RoofPlane, module: Module) -> pd.Series:
    """DC power of one plane by a whole pvlib chain, sun position and all, as most scripts write it."""
    start = pd.Timestamp("2022-01-01 00:30", tz=f"Etc/GMT{-int(climate.utc_offset_h):+d}")
    times = pd.date_range(start, periods=8760, freq="h")
    place = pvlib.location.Location(climate.latitude_deg, climate.longitude_deg, altitude=climate.elevation_m)
    weather = pd.DataFrame(
        {"ghi": climate.ghi, "dni": climate.dni, "dhi": climate.dhi, "temp_air": climate.temp_air_c}, index=times
    )
    sun = place.get_solarposition(times)
    extra = pvlib.irradiance.get_extra_radiation(times)
    aoi = pvlib.irradiance.aoi(plane.tilt_deg, plane.azimuth_deg, sun["apparent_zenith"], sun["azimuth"])
    sky = pvlib.irradiance.perez(
        plane.tilt_deg,
        plane.azimuth_deg,
        weather["dhi"],
        weather["dni"],
        extra,
        sun["apparent_zenith"],
        sun["azimuth"],
        pvlib.atmosphere.get_relative_airmass(sun["apparent_zenith"]),
        return_components=True,
    ).fillna(0.0)
    # Light left after sunset comes from an even sky, as sizing takes it; the sky model alone drops it.
    even = pvlib.irradiance.isotropic(plane.tilt_deg, weather["dhi"]).where(sun["apparent_zenith"] >= 90, 0.0)
    sky["poa_isotropic"] += even
    sky["poa_sky_diffuse"] += even
    ground = pvlib.irradiance.get_ground_diffuse(plane.tilt_deg, weather["ghi"], albedo=0.2)
    beam = weather["dni"] * np.maximum(np.cos(np.radians(aoi)), 0) * (sun["apparent_zenith"] < 90)
    poa = beam + sky["poa_sky_diffuse"] + ground
    share = pvlib.iam.marion_diffuse("physical", plane.tilt_deg)
    effective = (
        (beam + sky["poa_circumsolar"]) * pvlib.iam.physical(aoi).fillna(0.0)
        + sky["poa_isotropic"] * share["sky"]
        + sky["poa_horizon"] * share["horizon"]
        + ground * share["ground"]
    )
    cell = pvlib.temperature.ross(poa, weather["temp_air"], noct=module.noct_c)
    gamma = module.temp_coeff_pmax_pct_per_c / 100
    return pvlib.pvsystem.pvwatts_dc(effective, cell, module.power_w * plane.modules, gamma).clip(lower=0.0)


def obstructions(number: int) -> tuple[Obstruction, ...]:
    """Trees and buildings all around, 8 m away and farther."""
    return tuple(
        Obstruction("tree" if i % 3 else "building", (i * 37.0) % 360.0, 8.0 + i, 6.0 + i % 7, 5.0)
        for i in range(number)
    )


def every_ray_beam_factor(
    plane: RoofPlane,
    around: tuple[Obstruction, ...],
    latitude_deg: float,
    elevation_deg: np.ndarray,
    azimuth_deg: np.ndarray,
    month: np.ndarray,
    count: int,
) -> np.ndarray:
    """Every ray from every sample point in every lit hour against every obstruction, with NumPy and no short cut."""
    aim = directions(elevation_deg, azimuth_deg)
    lit = np.flatnonzero((elevation_deg > 0) & (aim @ plane_normal(plane.tilt_deg, plane.azimuth_deg) > 0))
    points = free_points(plane, around, count)
    through = np.ones((len(points), lit.size))
    for obstruction in around:
        passes = transmittance_by_month(obstruction, latitude_deg)[month[lit] - 1]
        for i, point in enumerate(points):
            ray = rays(obstruction, np.broadcast_to(point, (lit.size, 3)), aim[lit])
            if obstruction.kind == "tree":
                trunk, crown = hits_tree(obstruction, ray)
                through[i] *= np.where(trunk, 0.0, np.where(crown, passes, 1.0))
            else:
                through[i] *= ~hits_box(obstruction, ray)
    factor = np.ones(elevation_deg.size)
    factor[lit] = through.mean(axis=0)
    return factor


def loop_ride_through(plant: Plant, dc: list[float], load: list[float], horizon: int, every: int) -> list[int]:
    """Outages walked hour by hour from every ``every``-th start, full battery."""
    answer, n = [], len(dc)
    for start in range(0, n, every):
        stored, hours = plant.capacity_wh, 0
        while hours < horizon:
            i = (start + hours) % n
            if load[i] > plant.inverter_limit_w + 1e-6:
                break
            net = dc[i] - load[i] / plant.inverter_efficiency - plant.standby_w
            if net >= 0:
                stored = min(plant.capacity_wh, stored + min(net, plant.charge_limit_w) * plant.charge_efficiency)
            else:
                if -net > plant.discharge_limit_w + 1e-6:
                    break
                stored += net / plant.discharge_efficiency
                if stored < plant.reserve_wh - 1e-6:
                    break
            hours += 1
        answer.append(hours)
    return answer


def loop_off_grid(plant: Plant, scale: float, battery: float, dc: list[float], load: list[float]) -> int:
    """Hours short of one design in one year, begun full."""
    low, high = plant.reserve_wh * battery, plant.capacity_wh * battery
    most_in, most_out = plant.charge_limit_w * battery, plant.discharge_limit_w * battery
    stored, short = high, 0
    for sun, watts in zip(dc, load, strict=True):
        served = min(watts, plant.inverter_limit_w)
        net = sun * scale - served / plant.inverter_efficiency - plant.standby_w
        failed = watts > plant.inverter_limit_w + 1e-6
        if net >= 0:
            stored = min(high, stored + min(net, most_in) * plant.charge_efficiency)
        else:
            asked = -net / plant.discharge_efficiency
            failed = failed or -net > most_out + 1e-6
            stored -= min(asked, most_out / plant.discharge_efficiency)
            failed = failed or stored < low - 1e-6
            stored = max(stored, low)
        short += failed
    return short


def storm_weather(seed: int = 3) -> tuple[np.ndarray, np.ndarray]:
    """A year of array power and load, W, in which every limit of ``PLANT`` binds somewhere."""
    rng = np.random.default_rng(seed)
    hour = np.tile(np.arange(24), 365)
    sky = np.repeat(rng.beta(0.7, 1.0, 365), 24)
    dc = np.maximum(np.sin((hour - 6) / 12 * np.pi), 0) * 6_000 * sky
    load = 600 * rng.uniform(0.3, 1.7, 8760)
    load[rng.integers(0, 8760, 3)] = 5_200.0
    load[rng.integers(0, 8760, 3)] = 4_500.0
    return dc, load


PLANT = Plant(10_000.0, 1_000.0, 3_000.0, 4_000.0, 0.95, 0.95, 0.96, 5_000.0, 20.0)
