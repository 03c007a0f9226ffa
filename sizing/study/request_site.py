"""Where the house stands, what its roof is like and what stands around it.

Angles: azimuth and bearing in degrees clockwise from true north (south = 180); tilt in degrees from horizontal.
Positions on the site: metres east (``x_m``) and north (``y_m``) of the middle of the house at ground level.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ObstructionKind = Literal["tree", "building", "chimney"]
Wood = Literal["spruce-pine-fir", "hem-fir", "douglas fir-larch", "southern pine"]
AccessEdition = Literal["2015", "2018", "2021", "2024"]
RoofObstacleKind = Literal["chimney", "vent", "skylight", "escape_window", "other"]
RoofEdgeKind = Literal["eave", "rake", "ridge", "hip", "valley", "wall"]


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
class RoofEdge:
    """A corner of a plane's outline and the edge that runs from it to the next corner, the last back to the first."""

    u_m: float
    """Along the eave from the left end of the plane, seen facing the roof."""
    v_m: float
    """Up the slope."""
    kind: RoofEdgeKind
    modules_beyond: bool = False
    """Hips and valleys: modules lie on the slope on the other side too."""


@dataclass(frozen=True)
class RoofPlane:
    """One flat piece of roof (or a ground mount): a rectangle on its slope, or an outline within it."""

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
    outline: tuple[RoofEdge, ...] = ()
    """Corners in order around the plane where it isn't a rectangle (hips, valleys), all within width and slope."""


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
    """Of the sun's beam through the crown. Heisler (1986), Urban Ecology 9: 337-359: in the shade of a mid-sized sugar
    maple about 80 % less light on a south wall in leaf, nearly 40 % less bare; part of what was left there came from
    the sky, hence somewhat less than 0.2 and 0.6 here."""
    transmittance_leaf_off: float = 0.55
    evergreen: bool = False
    leaf_months: tuple[int, ...] = ()
    """Months (1 to 12) in which a deciduous tree was seen in leaf; empty: as usual at the latitude."""
    base_height_m: float = 0.0
    """Height of its foot above the ground at the house (a chimney stands on the roof)."""


@dataclass(frozen=True)
class HorizonPoint:
    """How high hills, ridges or a far line of trees stand over the level in one direction, seen from the array.

    Between two points the horizon runs straight, from the last on to the first.
    """

    bearing_deg: float
    elevation_deg: float


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
    hip_valley_setback_m: float | None = None
    """The jurisdiction's own, on each side of every hip and valley; None: as the edition has it."""


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
