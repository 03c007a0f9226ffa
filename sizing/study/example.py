"""A complete request to start from: a hybrid system on an invented house in the Carolina piedmont."""

from __future__ import annotations

from sizing.study.request import (
    Appliance,
    Backup,
    Battery,
    Climate,
    Generator,
    Inverter,
    Loan,
    Module,
    Obstruction,
    RoofPlane,
    Runs,
    Service,
    Site,
    StringGroup,
    StudyRequest,
    Tariff,
    Usage,
)


def example_request() -> StudyRequest:
    """A gable house with a well, central air, an oak to the southwest and a chimney; equipment names are invented."""
    return StudyRequest(
        system_type="hybrid",
        site=Site(latitude_deg=36.07, longitude_deg=-79.79, elevation_m=250.0, time_zone="America/New_York"),
        climate=Climate(kind="typical_year"),
        planes=(
            RoofPlane(
                name="South roof", tilt_deg=26.6, azimuth_deg=180.0, width_m=12.0, slope_length_m=5.0,
                eave_height_m=3.0, x_m=0.0, y_m=-2.2, modules=18,
            ),
            RoofPlane(
                name="Garage roof, west", tilt_deg=22.6, azimuth_deg=270.0, width_m=6.5, slope_length_m=4.2,
                eave_height_m=2.6, x_m=9.0, y_m=-1.0, modules=8,
            ),
        ),
        module=Module(
            name="Piedmont PM-405", power_w=405.0, voc_v=37.2, isc_a=13.8, vmp_v=31.2, imp_a=13.0,
            temp_coeff_pmax_pct_per_c=-0.34, temp_coeff_voc_pct_per_c=-0.26, length_m=1.72, width_m=1.13,
            noct_c=45.0, max_series_fuse_a=25.0, weight_kg=21.5,
        ),
        inverter=Inverter(
            name="Tidewater HX-8", ac_power_w=8000.0, ac_voltage_v=240.0, max_dc_voltage_v=600.0, mppt_min_v=120.0,
            mppt_max_v=500.0, mppt_inputs=3, strings_per_mppt=1, max_input_current_a=16.0, max_short_circuit_a=20.0,
            efficiency=0.965, backup_power_w=8000.0, surge_w=14_000.0, surge_s=5.0, standby_w=35.0,
        ),
        strings=(
            StringGroup(plane="South roof", modules_in_series=9, strings=1, mppt=1),
            StringGroup(plane="South roof", modules_in_series=9, strings=1, mppt=2),
            StringGroup(plane="Garage roof, west", modules_in_series=8, strings=1, mppt=3),
        ),
        battery=Battery(
            name="Uwharrie 10", usable_kwh=10.0, max_charge_kw=5.0, max_discharge_kw=5.0, round_trip_efficiency=0.92,
            reserve_fraction=0.1, listed_ul9540=True, units=2,
        ),
        generator=Generator(name="Sandhill 7", power_w=7000.0, fuel_limited_hours=24.0),
        obstructions=(
            Obstruction(
                kind="tree", bearing_deg=225.0, distance_m=16.0, height_m=15.0, width_m=9.0, crown_base_m=3.0,
            ),
            Obstruction(
                kind="chimney", bearing_deg=100.0, distance_m=5.5, height_m=2.0, width_m=0.9, depth_m=0.6,
                base_height_m=4.5,
            ),
        ),
        appliances=(
            Appliance(name="Refrigerator", kind="motor", watts=150.0, hours_per_day=8.0, starting_w=900.0),
            Appliance(
                name="Well pump, 3/4 hp", kind="well_pump", watts=1100.0, hours_per_day=1.2, voltage_v=240.0,
                horsepower=0.75, code_letter="L",
            ),
            Appliance(name="Lights", kind="steady", watts=12.0, hours_per_day=5.0, count=12),
            Appliance(name="Router and phones", kind="steady", watts=35.0, hours_per_day=24.0),
            Appliance(
                name="Gas furnace blower", kind="motor", watts=450.0, hours_per_day=6.0, months=(11, 12, 1, 2, 3)
            ),
            Appliance(
                name="Central air, 3 ton", kind="central_air", watts=2900.0, hours_per_day=7.0, tier="would_like",
                months=(5, 6, 7, 8, 9), voltage_v=240.0, locked_rotor_a=77.0, soft_starter=True,
            ),
            Appliance(name="Microwave oven", kind="steady", watts=1200.0, hours_per_day=0.4, tier="would_like"),
            Appliance(
                name="Water heater", kind="steady", watts=4500.0, hours_per_day=2.5, tier="can_wait", voltage_v=240.0
            ),
            Appliance(
                name="Clothes dryer", kind="steady", watts=5000.0, hours_per_day=0.6, tier="can_wait", voltage_v=240.0
            ),
        ),
        usage=Usage(
            monthly_kwh=(1180.0, 1040.0, 960.0, 830.0, 980.0, 1240.0, 1460.0, 1430.0, 1180.0, 870.0, 900.0, 1110.0)
        ),
        tariff=Tariff(
            kind="net_billing", energy_usd_per_kwh=0.128, fixed_usd_per_month=14.0, export_usd_per_kwh=0.038,
            escalation_per_year=0.025,
        ),
        loan=Loan(principal_usd=31_500.0, rate_per_year=0.0699, months=180),
        service=Service(rating_a=200.0, main_breaker_a=200.0, busbar_a=200.0, free_breaker_spaces=4),
        runs=Runs(dc_m=18.0, ac_m=6.0, battery_m=2.0, dc_on_roof=True, conduit_above_roof_mm=25.0),
        backup=Backup(tiers=("must_run",), horizon_hours=336, wanted_days=2.0),
    )  # fmt: skip
