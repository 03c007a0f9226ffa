"""Modules, inverters, batteries and generators by their datasheets, and how they are wired."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

CodeEdition = Literal["2017", "2020", "2023"]
StorageLocation = Literal["utility_closet", "attached_garage", "detached_garage", "outdoors"]


@dataclass(frozen=True)
class Module:
    """Datasheet values at standard test conditions."""

    name: str
    power_w: float
    voc_v: float
    isc_a: float
    vmp_v: float
    imp_a: float
    temp_coeff_pmax_pct_per_c: float
    temp_coeff_voc_pct_per_c: float
    length_m: float
    width_m: float
    noct_c: float = 45.0
    max_series_fuse_a: float = 25.0
    weight_kg: float = 21.0


@dataclass(frozen=True)
class Inverter:
    """Datasheet values. ``surge_w`` is what it can give for ``surge_s`` seconds when it runs on its own."""

    name: str
    ac_power_w: float
    ac_voltage_v: float
    max_dc_voltage_v: float
    mppt_min_v: float
    mppt_max_v: float
    mppt_inputs: int
    strings_per_mppt: int
    max_input_current_a: float
    """Usable current per MPPT input."""
    max_short_circuit_a: float
    efficiency: float
    """Weighted, 0 to 1."""
    backup_power_w: float = 0.0
    """What it can carry continuously with the grid down; 0 where it can't form a grid."""
    surge_w: float = 0.0
    surge_s: float = 10.0
    standby_w: float = 20.0


STANDBY_OF_OWN_INVERTER_W = 30.0
"""Of a battery unit's own inverter whose datasheet states none; common practice, no source."""


@dataclass(frozen=True)
class Battery:
    name: str
    usable_kwh: float
    max_charge_kw: float
    max_discharge_kw: float
    round_trip_efficiency: float
    reserve_fraction: float = 0.1
    """Kept back and never used, of ``usable_kwh``."""
    listed_ul9540: bool = True
    units: int = 1
    """How many of them; capacities and powers above are of one unit."""
    coupling: Literal["dc", "ac"] = "dc"
    """"ac": the unit has its own inverter and counts as a power source of its own at the panel."""
    circuit_voltage_v: float = 51.2
    """Of a DC-coupled unit's conductors; the default, a low-voltage bank, is the side on which conductors come out
    large."""
    surge_kw: float | None = None
    """What an AC-coupled unit gives for ``surge_s`` seconds; None where its datasheet states none."""
    surge_s: float | None = None
    most_pv_kw: float | None = None
    """Rated AC power of PV inverters that an AC-coupled unit can hold in check in an outage, by its maker; None: what
    it charges at."""
    standby_w: float | None = None
    """Drawn by an AC-coupled unit's own inverter while it forms a grid; None: ``STANDBY_OF_OWN_INVERTER_W``."""
    location: StorageLocation = "attached_garage"
    unit_gap_m: float | None = None
    """Free space between units; None: not measured."""
    opening_gap_m: float | None = None
    """From a unit outside to the nearest door or window into the dwelling; None: not measured."""
    fire_tested_close: bool = False
    """A large-scale fire test (UL 9540A) of this unit allows less space between units."""
    vehicle_guarded: bool | None = None
    """Out of the path of vehicles, or behind a barrier; None: not looked at."""


@dataclass(frozen=True)
class Generator:
    name: str
    power_w: float
    fuel_limited_hours: float = 0.0


@dataclass(frozen=True)
class Service:
    """The house's electrical service and its main panel."""

    rating_a: float = 200.0
    main_breaker_a: float = 200.0
    busbar_a: float = 200.0
    busbar_known: bool = True
    """False where nobody has read it off the panel and ``busbar_a`` is only the usual one."""
    voltage_v: float = 240.0
    free_breaker_spaces: int = 2
    connection: Literal["busbar_opposite_end", "supply_side"] = "busbar_opposite_end"


@dataclass(frozen=True)
class StringGroup:
    """``strings`` strings of ``modules_in_series`` modules on one plane, on MPPT input ``mppt`` (from 1)."""

    plane: str
    modules_in_series: int
    strings: int = 1
    mppt: int = 1


@dataclass(frozen=True)
class Runs:
    """One-way lengths and surroundings of the conductors, for ampacity and voltage drop."""

    dc_m: float = 20.0
    ac_m: float = 10.0
    battery_m: float = 3.0
    dc_on_roof: bool = True
    conduit_above_roof_mm: float = 25.0


@dataclass(frozen=True)
class LossFractions:
    """Losses between module and meter that no hourly model here covers, as fractions (0.02 = 2 %)."""

    soiling: float = 0.02
    mismatch: float = 0.02
    wiring: float = 0.02
    connections: float = 0.005
    light_induced: float = 0.015
    nameplate: float = 0.01
    availability: float = 0.03
