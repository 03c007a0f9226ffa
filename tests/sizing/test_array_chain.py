"""The production chain: against a plain pvlib chain written on its own, and for what must hold by the hour."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib import iam, inverter, iotools, irradiance, pvsystem, solarposition, temperature

from sizing.array.power import shaded_light
from sizing.array.production import ArrayYear, array_year
from sizing.array.transpose import plane_light
from sizing.climate.choose import choose_climate
from sizing.climate.hours import DAYS_IN_MONTH
from sizing.climate.shelf import bundled
from sizing.study.request import LossFractions, Obstruction, StudyRequest
from sizing.sun.position import sun_year
from sizing.sun.shade import Shade
from tests.sizing.study_builders import SOUTH, plain_request

pytestmark = pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")

GREENSBORO_FILE = next(shelf.path for shelf in bundled() if shelf.file == "723170TYA.CSV")
NO_LOSSES = LossFractions(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def run(request: StudyRequest) -> ArrayYear:
    climate = choose_climate(request.site, request.climate).hours
    sun = sun_year(climate.latitude_deg, climate.longitude_deg, climate.elevation_m, climate.utc_offset_h)
    return array_year(request, climate, sun)


def plain_pvlib_kwh(request: StudyRequest, tilt: float, azimuth: float, modules: int) -> pd.Series:
    """The same year by pvlib with pandas, from the raw file: monthly AC energy in kWh."""
    data, meta = iotools.read_tmy3(str(GREENSBORO_FILE), coerce_year=2021)
    middle = data.index - pd.Timedelta("30min")
    position = solarposition.get_solarposition(middle, meta["latitude"], meta["longitude"], meta["altitude"])
    position.index = data.index
    light = irradiance.get_total_irradiance(
        tilt,
        azimuth,
        position["apparent_zenith"],
        position["azimuth"],
        data["dni"],
        data["ghi"],
        data["dhi"],
        dni_extra=pd.Series(irradiance.get_extra_radiation(middle).to_numpy(), index=data.index),
        albedo=request.ground_albedo,
        airmass=pvlib.atmosphere.get_relative_airmass(position["apparent_zenith"]),
        model="perez",
    )
    aoi = irradiance.aoi(tilt, azimuth, position["apparent_zenith"], position["azimuth"])
    diffuse = iam.marion_diffuse("physical", tilt)
    sky = irradiance.perez(
        tilt,
        azimuth,
        data["dhi"],
        data["dni"],
        pd.Series(irradiance.get_extra_radiation(middle).to_numpy(), index=data.index),
        position["apparent_zenith"],
        position["azimuth"],
        pvlib.atmosphere.get_relative_airmass(position["apparent_zenith"]),
        return_components=True,
    ).fillna(0.0)
    effective = (
        (light["poa_direct"] + sky["poa_circumsolar"]) * iam.physical(aoi)
        + sky["poa_isotropic"] * diffuse["sky"]
        + sky["poa_horizon"] * diffuse["horizon"]
        + light["poa_ground_diffuse"] * diffuse["ground"]
    )
    cell = temperature.ross(light["poa_global"], data["temp_air"], noct=request.module.noct_c)
    gamma = request.module.temp_coeff_pmax_pct_per_c / 100.0
    dc = pvsystem.pvwatts_dc(effective, cell, request.module.power_w * modules, gamma)
    percent = pvsystem.pvwatts_losses(
        soiling=2, shading=0, snow=0, mismatch=2, wiring=2, connections=0.5, lid=1.5, nameplate_rating=1, age=0,
        availability=3,
    )  # fmt: skip
    dc = dc * (1.0 - percent / 100.0)
    rating = request.inverter.ac_power_w
    ac = inverter.pvwatts(dc, rating / request.inverter.efficiency, request.inverter.efficiency)
    months = np.repeat(np.arange(12), np.array(DAYS_IN_MONTH) * 24)
    return ac.groupby(months).sum() / 1000.0


@pytest.mark.parametrize(("tilt", "azimuth"), [(25.0, 180.0), (35.0, 95.0), (10.0, 290.0)])
def test_an_unshaded_year_agrees_with_a_plain_pvlib_chain(tilt: float, azimuth: float) -> None:
    """Year within 0.5 %, months within 1 %."""
    request = plain_request(planes=(replace(SOUTH, tilt_deg=tilt, azimuth_deg=azimuth),))
    ours = run(request).production
    theirs = plain_pvlib_kwh(request, tilt, azimuth, SOUTH.modules)
    assert ours.ac_kwh_year == pytest.approx(theirs.sum(), rel=0.005)
    assert ours.ac_kwh_by_month == pytest.approx(theirs.to_list(), rel=0.01)


def test_another_cell_temperature_and_another_reflection_give_nearly_the_same_year() -> None:
    """pvlib's ready-made chain (cell temperature of a close roof mount by SAPM, no reflection of diffuse light): within
    4 % of the year."""
    data, meta = iotools.read_tmy3(str(GREENSBORO_FILE), coerce_year=2021)
    weather = data[["ghi", "dni", "dhi", "temp_air", "wind_speed"]].copy()
    weather.index = weather.index - pd.Timedelta("30min")
    request = plain_request()
    module, unit = request.module, request.inverter
    system = pvsystem.PVSystem(
        surface_tilt=25.0,
        surface_azimuth=180.0,
        albedo=0.2,
        module_parameters={
            "pdc0": module.power_w * SOUTH.modules,
            "gamma_pdc": module.temp_coeff_pmax_pct_per_c / 100.0,
        },
        inverter_parameters={"pdc0": unit.ac_power_w / unit.efficiency, "eta_inv_nom": unit.efficiency},
        temperature_model_parameters=temperature.TEMPERATURE_MODEL_PARAMETERS["sapm"]["close_mount_glass_glass"],
        losses_parameters={"shading": 0},
    )
    place = pvlib.location.Location(meta["latitude"], meta["longitude"], altitude=meta["altitude"])
    chain = pvlib.modelchain.ModelChain.with_pvwatts(
        system, place, transposition_model="perez", aoi_model="physical", spectral_model="no_loss"
    )
    chain.run_model(weather)
    theirs = float(chain.results.ac.sum() / 1000.0)
    assert run(request).production.ac_kwh_year == pytest.approx(theirs, rel=0.04)


def test_loss_steps_lead_exactly_to_the_meter() -> None:
    tree = Obstruction("tree", 170.0, 12.0, 11.0, 7.0, crown_base_m=2.0)
    production = run(plain_request(obstructions=(tree,))).production
    before = production.losses[0].kwh_year_after
    for step in production.losses[1:]:
        assert step.kwh_year_after == pytest.approx(before * (1.0 - step.fraction), rel=1e-12)
        before = step.kwh_year_after
    assert production.losses[-1].kwh_year_after == production.ac_kwh_year
    assert sum(production.ac_kwh_by_month) == pytest.approx(production.ac_kwh_year, rel=1e-12)
    names = [step.name for step in production.losses]
    assert names[0] == "Sunlight on the open roof planes"
    assert dict(zip(names, production.losses, strict=True))["Shade"].fraction > 0.01


def test_energy_is_kept_in_every_hour() -> None:
    """AC never exceeds the rating or the DC, DC never exceeds the light, dark hours give nothing."""
    request = plain_request()
    year = run(request)
    assert year.ac_w.shape == year.dc_w.shape == (8760,)
    assert year.ac_w.max() <= request.inverter.ac_power_w
    assert np.all(year.ac_w <= year.dc_w + 1e-9)
    assert np.all(year.ac_w >= 0.0)
    climate = choose_climate(request.site, request.climate).hours
    dark = (climate.ghi <= 0) & (climate.dni <= 0) & (climate.dhi <= 0)
    assert dark.sum() > 4000
    assert np.all(year.dc_w[dark] == 0.0)
    assert year.ac_w.sum() / 1000.0 == pytest.approx(year.production.ac_kwh_year, rel=1e-12)


def test_two_planes_are_the_sum_of_each() -> None:
    east = replace(SOUTH, name="East roof", azimuth_deg=90.0, modules=6)
    unlimited = replace(plain_request().inverter, ac_power_w=100_000.0)
    both = run(plain_request(planes=(SOUTH, east), inverter=unlimited))
    alone = [run(plain_request(planes=(plane,), inverter=unlimited)) for plane in (SOUTH, east)]
    assert both.dc_w == pytest.approx(alone[0].dc_w + alone[1].dc_w)
    assert both.production.dc_kw == pytest.approx((16 + 6) * 0.405)


def test_an_inverter_too_small_is_seen_to_clip() -> None:
    small = replace(plain_request().inverter, ac_power_w=3000.0)
    production = run(plain_request(inverter=small)).production
    assert production.losses[-1].name == "Inverter limit"
    assert production.losses[-1].fraction > 0.05
    assert production.ac_kw == 3.0
    two = run(plain_request(inverter=small, inverter_count=2)).production
    assert two.losses[-1].fraction < 0.01
    assert two.ac_kw == 6.0


def test_no_losses_and_losses_multiply() -> None:
    unlimited = replace(plain_request().inverter, ac_power_w=100_000.0)
    whole = run(plain_request(losses=NO_LOSSES, inverter=unlimited))
    halved = run(plain_request(losses=replace(NO_LOSSES, soiling=0.5, wiring=0.5), inverter=unlimited))
    assert halved.dc_w == pytest.approx(whole.dc_w * 0.25)


def test_the_parts_of_light_add_up_and_shade_takes_each_its_own() -> None:
    request = plain_request()
    climate = choose_climate(request.site, request.climate).hours
    sun = sun_year(climate.latitude_deg, climate.longitude_deg, climate.elevation_m, climate.utc_offset_h)
    light = plane_light(25.0, 180.0, climate, sun, 0.2)
    shade = Shade(beam=np.full(8760, 0.5), sky_by_month=np.full(12, 0.8))
    left = shaded_light(light, shade, climate.month)
    band = np.where(light.horizon > 0, 0.8 * light.horizon, light.horizon)
    expected = np.maximum(0.5 * (light.beam + light.circumsolar) + 0.8 * light.isotropic + band, 0.0) + light.ground
    assert left.total == pytest.approx(expected, abs=1e-9)
    flat = plane_light(0.0, 180.0, climate, sun, 0.2)
    assert flat.total.sum() == pytest.approx(climate.ghi.sum(), rel=0.005)


@settings(max_examples=10, deadline=None)
@given(tilt=st.floats(0.0, 90.0), azimuth=st.floats(0.0, 360.0), modules=st.integers(1, 30))
def test_any_plane_gives_a_sane_year(tilt: float, azimuth: float, modules: int) -> None:
    plane = replace(SOUTH, tilt_deg=tilt, azimuth_deg=azimuth, modules=modules)
    year = run(plain_request(planes=(plane,)))
    # What reaches the inverter: one module on a large inverter loses much of it to the inverter's own needs.
    dc_kwh = float(year.dc_w.sum()) / 1000.0
    assert 250.0 < dc_kwh / year.production.dc_kw < 1650.0
    assert 0.0 < year.production.ac_kwh_year < dc_kwh
    assert np.isfinite(year.ac_w).all()
    assert year.planes[0].result.solar_access_year == pytest.approx(1.0)
