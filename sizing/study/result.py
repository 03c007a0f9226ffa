"""What a study answers: frozen dataclasses, plain numbers and tuples, ready for JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sizing.study.request import StudyRequest
from sizing.working import Working


@dataclass(frozen=True)
class ClimateUsed:
    kind: str
    name: str
    """Plain words: "Greensboro Piedmont Triad, typical year (TMY3)"."""
    distance_km: float | None
    """From the site to the place the climate was measured; None for monthly means typed for the site itself."""
    ghi_kwh_per_m2_year: float
    record_low_c: float
    record_low_source: str
    high_2pct_c: float
    high_2pct_source: str


@dataclass(frozen=True)
class PlaneResult:
    name: str
    modules: int
    dc_kw: float
    poa_kwh_per_m2_year: float
    """Plane-of-array irradiation with shade."""
    poa_unshaded_kwh_per_m2_year: float
    solar_access_by_month: tuple[float, ...]
    """12 fractions, shaded over unshaded plane-of-array irradiation."""
    solar_access_year: float
    sky_view_fraction: float
    """Share of the unobstructed diffuse sky of the plane that is left."""


@dataclass(frozen=True)
class LossStep:
    name: str
    fraction: float
    """Of the energy before this step."""
    kwh_year_after: float


@dataclass(frozen=True)
class Production:
    dc_kw: float
    ac_kw: float
    ac_kwh_by_month: tuple[float, ...]
    ac_kwh_year: float
    specific_yield_kwh_per_kw: float
    losses: tuple[LossStep, ...]
    """From sunlight on the open plane to the meter; they add up to ``ac_kwh_year``."""


@dataclass(frozen=True)
class SunPath:
    """The sky as seen from the middle of the array, for the picture.

    ``arcs``: for 21 Dec, 21 Mar (and Sep) and 21 Jun a name and (azimuth_deg, elevation_deg) pairs in true solar time
    steps; ``silhouettes``: per obstruction its name and the outline as (azimuth_deg, elevation_deg) pairs;
    ``hour_marks``: (label, ((azimuth_deg, elevation_deg), ...)) per solar hour across the three arcs. Azimuths of one
    line run on past 0 or 360 at north instead of jumping.
    """

    arcs: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
    silhouettes: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
    hour_marks: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]


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


@dataclass(frozen=True)
class YearOfCash:
    """One year ahead, USD. ``net_usd`` = saved + incentives - upkeep - replacements - loan payments."""

    year: int
    production_kwh: float
    saved_usd: float
    incentives_usd: float
    upkeep_usd: float
    replacements_usd: float
    loan_paid_usd: float
    net_usd: float
    cumulative_usd: float
    """Including what is paid down at the start."""


@dataclass(frozen=True)
class LoanMonth:
    month: int
    interest_usd: float
    principal_usd: float
    balance_usd: float
    saved_usd: float
    """What the month's bill comes out lower."""
    covered: bool
    """The saving is at least the payment."""


@dataclass(frozen=True)
class CashFlow:
    """The years ahead month by month. Payback, NPV and IRR are of the price paid at the start, without the loan."""

    price_usd: float
    years: tuple[YearOfCash, ...]
    loan: tuple[LoanMonth, ...]
    months_covered: int
    """Of the loan's months, those in which the saving covers the payment."""
    covered_every_month: bool | None
    """None without a loan."""
    payback_years: float | None
    """None where the years looked at don't pay it back."""
    npv_usd: float
    irr_per_year: float | None


@dataclass(frozen=True)
class Money:
    bill_before_by_month_usd: tuple[float, ...]
    bill_after_by_month_usd: tuple[float, ...]
    bill_before_year_usd: float
    bill_after_year_usd: float
    saved_month_mean_usd: float
    loan_payment_usd: float | None
    saving_covers_payment: bool | None
    import_kwh_year: float
    export_kwh_year: float
    self_used_kwh_year: float
    simple_payback_years: float | None
    cash: CashFlow | None = None
    """None where no price is known."""


@dataclass(frozen=True)
class Circuit:
    """One circuit of the single-line diagram, with its ratings and call-outs."""

    key: str
    """"pv_source", "pv_output", "inverter_output", "battery", "backup_feeder", "generator" """
    label: str
    current_a: float
    """Maximum circuit current before the continuous factor."""
    required_ampacity_a: float
    overcurrent_a: float | None
    """None where none is required; the working says why."""
    conductor: str
    """"10 AWG Cu THWN-2" """
    conductors_in_conduit: int
    equipment_ground: str
    conduit: str
    length_m: float
    voltage_drop_pct: float


@dataclass(frozen=True)
class Check:
    key: str
    label: str
    passes: bool
    value: str
    limit: str
    source: str
    advice: str = ""


@dataclass(frozen=True)
class Electrical:
    strings_proposed: bool
    strings: tuple[tuple[str, int, int, int], ...]
    """(plane, modules_in_series, strings, mppt)"""
    voc_cold_v: float
    """Open-circuit voltage of the longest string at the record low."""
    vmp_hot_v: float
    """Of the shortest string on a 2 % hot day."""
    circuits: tuple[Circuit, ...]
    backfeed_breaker_a: float | None
    busbar_allowed_a: float | None
    """Inverter current that the busbar rule still allows."""
    rapid_shutdown: str
    checks: tuple[Check, ...]
    ac_disconnect_a: float | None = None
    """Usual switch rating of one inverter's AC disconnect."""
    length_verdicts: tuple[tuple[int, str], ...] = ()
    """(modules in series, why not); the reason is empty where that length is allowed."""


@dataclass(frozen=True)
class ModulePlace:
    """A module on its plane, metres: along the eave from its left end (seen facing the roof) and up the slope."""

    u_m: float
    v_m: float
    width_m: float
    height_m: float


@dataclass(frozen=True)
class ClearZone:
    """A rectangle of a plane that stays free, and why."""

    label: str
    u_m: float
    v_m: float
    width_m: float
    height_m: float


@dataclass(frozen=True)
class PlaneLayout:
    name: str
    orientation: Literal["portrait", "landscape"]
    room_for: int
    """Modules that fit with everything kept clear."""
    modules: int
    """Modules of the design."""
    fits: bool
    places: tuple[ModulePlace, ...]
    """Where the design's modules lie; fewer than ``modules`` where they don't fit."""
    keep_clear: tuple[ClearZone, ...]


@dataclass(frozen=True)
class RoofLayout:
    code: str
    array_share_of_plan: float
    """Modules over roof, both seen from above."""
    ridge_setback_m: float
    pathway_m: float
    planes: tuple[PlaneLayout, ...]
    checks: tuple[Check, ...]


@dataclass(frozen=True)
class StructurePlane:
    name: str
    attachments: int
    uplift_lb: float
    dead_lb: float
    allowed_lb: float
    """Of all attachments together, one lag screw each."""


@dataclass(frozen=True)
class StructureSheet:
    """Arithmetic for review by the licensed engineer where required; pounds and feet as the standards print them."""

    velocity_pressure_psf: float
    net_uplift_psf: float
    dead_load_psf: float
    ground_snow_psf: float
    """As given; what the rafters carry of it is the engineer's to say."""
    lag_allowed_lb: float
    attachment_spacing_m: float
    planes: tuple[StructurePlane, ...]
    note: str


@dataclass(frozen=True)
class StudyResult:
    request: StudyRequest
    climate: ClimateUsed
    planes: tuple[PlaneResult, ...]
    production: Production
    sun_path: SunPath
    loads: Loads
    ride_through: RideThrough | None
    off_grid: OffGrid | None
    money: Money | None
    electrical: Electrical
    working: tuple[Working, ...]
    warnings: tuple[str, ...]
    assumptions: tuple[str, ...]
    roof: RoofLayout | None = None
    structure: StructureSheet | None = None
