"""What a study is asked: frozen dataclasses, SI units, every number with its unit in its name.

Angles: azimuth and bearing in degrees clockwise from true north (south = 180); tilt in degrees from horizontal.
Positions on the site: metres east (``x_m``) and north (``y_m``) of the middle of the house at ground level.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

SystemType = Literal["off_grid", "grid_tied", "hybrid"]
Tier = Literal["must_run", "would_like", "can_wait"]
ApplianceKind = Literal["steady", "motor", "well_pump", "central_air", "electric_heat"]
ObstructionKind = Literal["tree", "building", "chimney"]
CodeEdition = Literal["2017", "2020", "2023"]
Wood = Literal["spruce-pine-fir", "hem-fir", "douglas fir-larch", "southern pine"]
AccessEdition = Literal["2015", "2018", "2021", "2024"]
RoofObstacleKind = Literal["chimney", "vent", "skylight", "escape_window", "other"]
TariffKind = Literal["net_metering", "net_billing", "no_export"]
StorageLocation = Literal["utility_closet", "attached_garage", "detached_garage", "outdoors"]


@dataclass(frozen=True)
class Site:
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    time_zone: str
    """IANA name; studies work in its standard time all year."""


@dataclass(frozen=True)
class Climate:
    """Where the hourly weather comes from.

    kind "typical_year": ``file`` is either the name of a file that the module carries (see
    ``sizing.climate.shelf.bundled``) or a path to a TMY2, TMY3 or EPW file; None takes the nearest carried one.
    kind "monthly_means": twelve means of daily global horizontal irradiation and of dry-bulb temperature.
    ``record_low_c`` (extreme annual mean minimum) and ``high_2pct_c`` are the site's design temperatures.
    """

    kind: Literal["typical_year", "monthly_means"] = "typical_year"
    file: str | None = None
    ghi_kwh_per_m2_day: tuple[float, ...] = ()
    temp_air_c: tuple[float, ...] = ()
    record_low_c: float | None = None
    high_2pct_c: float | None = None
    seed: int = 1


@dataclass(frozen=True)
class RoofObstacle:
    """Something that stands on or in a roof plane, as a rectangle on its slope.

    An emergency escape window keeps the roof below it free down to the eave.
    """

    kind: RoofObstacleKind
    u_m: float
    """Its left edge from the left end of the eave, seen facing the roof."""
    v_m: float
    """Its lower edge up the slope from the eave."""
    width_m: float
    height_m: float
    clearance_m: float = 0.1
    """Free on all sides; common practice, no source."""


@dataclass(frozen=True)
class RoofPlane:
    """One flat piece of roof (or a ground mount), seen from above as a rectangle on its slope."""

    name: str
    tilt_deg: float
    azimuth_deg: float
    width_m: float
    """Along the eave."""
    slope_length_m: float
    """From eave to ridge, measured on the roof."""
    eave_height_m: float = 3.0
    x_m: float = 0.0
    y_m: float = 0.0
    modules: int = 0
    """How many modules the design puts on this plane."""
    mounting: Literal["roof", "ground"] = "roof"
    obstacles: tuple[RoofObstacle, ...] = ()
    ridge_at_top: bool = True
    """False where the plane's upper edge meets a wall or a higher roof."""
    pathway: Literal["left", "right", "both", "elsewhere"] = "right"
    """End that holds the fire service's pathway, seen facing the roof; "elsewhere": on a neighbouring plane."""


@dataclass(frozen=True)
class Obstruction:
    """A tree, building or chimney near the array, as seen from the middle of the house."""

    kind: ObstructionKind
    bearing_deg: float
    distance_m: float
    height_m: float
    width_m: float
    depth_m: float | None = None
    """None: as deep as wide."""
    crown_base_m: float = 0.0
    """Trees: height at which the crown begins."""
    transmittance_leaf_on: float = 0.15
    transmittance_leaf_off: float = 0.55
    evergreen: bool = False
    base_height_m: float = 0.0
    """Height of its foot above the ground at the house (a chimney stands on the roof)."""


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
    location: StorageLocation = "attached_garage"


@dataclass(frozen=True)
class Generator:
    name: str
    power_w: float
    fuel_limited_hours: float = 0.0


@dataclass(frozen=True)
class Appliance:
    """One line of the load worksheet.

    ``hours_per_day`` is averaged over the days on which it runs; ``months`` (1-12) empty means all year.
    Starting surge: ``locked_rotor_a`` at ``voltage_v`` where the nameplate gives it, else ``starting_w``,
    else ``horsepower`` with ``code_letter``.
    """

    name: str
    kind: ApplianceKind
    watts: float
    hours_per_day: float
    count: int = 1
    tier: Tier = "must_run"
    months: tuple[int, ...] = ()
    voltage_v: float = 120.0
    locked_rotor_a: float | None = None
    starting_w: float | None = None
    horsepower: float | None = None
    code_letter: str | None = None
    soft_starter: bool = False


@dataclass(frozen=True)
class Usage:
    """What the electric bills say: twelve months of kWh, or a yearly figure (then ``monthly_kwh`` is empty)."""

    monthly_kwh: tuple[float, ...] = ()
    yearly_kwh: float | None = None


@dataclass(frozen=True)
class EnergyBlock:
    """A block of a month's energy at its own price."""

    kwh: float
    usd_per_kwh: float


@dataclass(frozen=True)
class RatePeriod:
    """Hours with their own price, from ``from_hour`` up to ``to_hour`` (0 to 24, over midnight where it is larger).

    Standard time all year.
    """

    name: str
    usd_per_kwh: float
    from_hour: int = 0
    to_hour: int = 24
    months: tuple[int, ...] = ()
    """1-12; empty means all year."""
    days: Literal["all", "weekdays", "weekends"] = "all"
    export_usd_per_kwh: float | None = None
    """net_billing: None takes the tariff's."""


@dataclass(frozen=True)
class Tariff:
    """``energy_usd_per_kwh`` prices what no block and no period does."""

    kind: TariffKind
    energy_usd_per_kwh: float
    fixed_usd_per_month: float
    export_usd_per_kwh: float = 0.0
    """net_billing only: what a kWh sent out is credited at."""
    escalation_per_year: float = 0.0
    blocks: tuple[EnergyBlock, ...] = ()
    """Tiers of a month's energy, in order."""
    periods: tuple[RatePeriod, ...] = ()
    """Time of use; the first that covers an hour counts."""
    minimum_usd_per_month: float = 0.0
    tax_fraction: float = 0.0
    """On the whole bill."""


@dataclass(frozen=True)
class Incentive:
    """Money from outside as the office entered it, with the day it was entered and the day it ends."""

    name: str
    usd: float
    month: int
    """After the start, from 1, in which it arrives."""
    entered_on: str
    """ISO date."""
    expires_on: str | None = None
    source: str = ""


@dataclass(frozen=True)
class Replacement:
    """Something bought again, in today's money."""

    name: str
    year: int
    usd: float


@dataclass(frozen=True)
class Economics:
    """The years ahead. Everything is as entered; nothing is assumed to be paid by anyone else."""

    years: int = 25
    price_usd: float | None = None
    """None: the loan's principal."""
    discount_rate_per_year: float = 0.05
    degradation_per_year: float = 0.005
    """Of production; common practice, no source (0.5 % a year)."""
    upkeep_usd_per_year: float = 0.0
    inflation_per_year: float = 0.0
    """Of upkeep and replacements."""
    replacements: tuple[Replacement, ...] = ()
    incentives: tuple[Incentive, ...] = ()


@dataclass(frozen=True)
class Loan:
    principal_usd: float
    rate_per_year: float
    months: int


@dataclass(frozen=True)
class Service:
    """The house's electrical service and its main panel."""

    rating_a: float = 200.0
    main_breaker_a: float = 200.0
    busbar_a: float = 200.0
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


@dataclass(frozen=True)
class Backup:
    """What the outage study looks at."""

    tiers: tuple[Tier, ...] = ("must_run",)
    horizon_hours: int = 336
    wanted_days: float = 1.0
    start_state_of_charge: float = 1.0
    wanted_share: float = 0.9
    """Share of outage starts that shall last ``wanted_days``, for the smallest battery."""
    allowed_loss_of_load_share: float = 0.01
    """Off grid: share of the year's hours that may go short, for the curve of array against battery."""


@dataclass(frozen=True)
class AccessRules:
    """The fire code's room on the roof, and the rows that modules stand in."""

    edition: AccessEdition = "2021"
    """Of the residential and fire codes (IRC, IFC) that the jurisdiction has adopted."""
    sprinklered: bool = False
    detached_nonhabitable: bool = False
    roof_plan_area_m2: float | None = None
    """Whole roof seen from above; None takes the planes of the request, which is on the side of more free room."""
    edge_margin_m: float = 0.0
    """Free along every edge, where the racking or the wind zone asks for it."""
    module_gap_m: float = 0.02


@dataclass(frozen=True)
class Structure:
    """What the structure sheet needs of rafters and jurisdiction; nothing that decides a load has a default."""

    wind_mph: float
    ground_snow_psf: float
    gcp: float
    """External pressure coefficient of the roof zone (negative for uplift), from the jurisdiction or the engineer."""
    rafter_spacing_m: float
    wood: Wood
    edge_factor: float = 1.5
    """ASCE 7-16 29.4.4: 1.5 where edge modules are exposed, the safe side, else 1."""
    kz: float = 0.85
    kzt: float = 1.0
    lag_diameter_in: float = 0.3125
    lag_thread_in: float = 2.5
    largest_spacing_m: float = 1.22
    """Along a rail, by the racking's table; taken down to whole rafters."""


@dataclass(frozen=True)
class StudyRequest:
    system_type: SystemType
    site: Site
    climate: Climate
    planes: tuple[RoofPlane, ...]
    module: Module
    inverter: Inverter
    inverter_count: int = 1
    strings: tuple[StringGroup, ...] = ()
    """Empty: the study proposes strings itself and says so."""
    battery: Battery | None = None
    generator: Generator | None = None
    obstructions: tuple[Obstruction, ...] = ()
    appliances: tuple[Appliance, ...] = ()
    usage: Usage = Usage()
    tariff: Tariff | None = None
    loan: Loan | None = None
    service: Service = Service()
    runs: Runs = Runs()
    losses: LossFractions = LossFractions()
    backup: Backup = Backup()
    code_edition: CodeEdition = "2020"
    ground_albedo: float = 0.2
    access: AccessRules = AccessRules()
    economics: Economics = Economics()
    structure: Structure | None = None
