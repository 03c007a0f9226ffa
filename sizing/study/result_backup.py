"""Loads, outages and life off the grid in a study's answer."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ApplianceLoad:
    name: str
    tier: str
    kwh_per_day: float
    """On a day when it runs."""
    kwh_year: float
    running_w: float
    starting_w: float
    """Extra-short starting power; equals running_w where there is no motor."""


@dataclass(frozen=True)
class Loads:
    appliances: tuple[ApplianceLoad, ...]
    use_kwh_by_month: tuple[float, ...]
    """The whole house, from the bills where given, else from the worksheet."""
    use_kwh_year: float
    backup_kwh_per_day: float
    """Of the tiers that the outage study carries, yearly mean."""
    backup_peak_w: float
    """Everything of those tiers running at once."""
    largest_start_w: float
    """Largest start on top of everything else running."""
    largest_start_name: str


@dataclass(frozen=True)
class StateOfChargeTrace:
    label: str
    """"worst", "median" or "best" """
    start_hour_of_year: int
    hours: int
    state_of_charge: tuple[float, ...]
    """Fraction of usable capacity at the end of each hour, up to the horizon."""


@dataclass(frozen=True)
class RideThroughCase:
    """The outages of the whole year under one set of assumptions."""

    loads: str
    """Plain words: "Must run" or "Must run and would like"."""
    sun: bool
    """False: as if the array gave nothing during the whole outage."""
    generator: bool
    kwh_per_day: float
    share_of_starts_meeting_wanted: float
    median_hours: float
    worst_hours: float
    generator_hours_mean: float
    """Hours it runs per outage, mean over all starts, until the loads go dark or the horizon is reached."""


@dataclass(frozen=True)
class ReliabilityPoint:
    """An array and the smallest battery beside it that keep the hours short within the bound asked for."""

    array_kw: float
    battery_kwh: float
    battery_units: int
    loss_of_load_hours: int


@dataclass(frozen=True)
class RideThrough:
    """An outage starting at every hour of the year. Hours are until the first hour in which a load is not carried."""

    horizon_hours: int
    wanted_hours: float
    share_of_starts_meeting_wanted: float
    median_hours: float
    worst_hours: float
    best_hours: float
    tenth_percentile_hours: float
    share_by_hours: tuple[tuple[int, float], ...]
    """(hours, share of starts that ride through at least that long) at 6, 12, 24, 48, 72, 120, 168, 240, 336."""
    median_by_month_hours: tuple[float, ...]
    battery_only_hours: float
    """No sun at all, mean backup load."""
    traces: tuple[StateOfChargeTrace, ...]
    power_limit_ok: bool
    surge_ok: bool
    note: str
    by_battery_units: tuple[tuple[int, float, float], ...] = ()
    """(units, share of starts meeting wanted, median hours) with fewer and more of the same battery."""
    cases: tuple[RideThroughCase, ...] = ()
    """Other tiers, no sun, with the generator; the figures above are without it."""
    smallest_battery_units: int | None = None
    """Fewest with which the wanted share of starts lasts as long as wanted; None where 40 are too few."""


@dataclass(frozen=True)
class OffGrid:
    loss_of_load_hours: int
    loss_of_load_share: float
    days_of_autonomy: float
    unserved_kwh_year: float = 0.0
    spilled_kwh_year: float = 0.0
    """Sun that found the battery full and nothing to run."""
    generator_kwh_year: float = 0.0
    reliability: tuple[ReliabilityPoint, ...] = ()
    """Iso-reliability curve, without a generator: array against battery at the allowed share of hours short."""
