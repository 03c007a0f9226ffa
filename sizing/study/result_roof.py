"""Layout on the roof and what holds it there, in a study's answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sizing.study.result_electrical import Check


@dataclass(frozen=True)
class ModulePlace:
    """A module on its plane, metres: along the eave from its left end (seen facing the roof) and up the slope."""

    u_m: float
    v_m: float
    width_m: float
    height_m: float


@dataclass(frozen=True)
class ClearZone:
    """A piece of a plane that stays free, and why: a rectangle, or what ``corners`` mark within that rectangle."""

    label: str
    u_m: float
    v_m: float
    width_m: float
    height_m: float
    corners: tuple[tuple[float, float], ...] = ()
    """(u_m, v_m) of a strip along a hip, a valley or another sloping edge; empty: the whole rectangle."""


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
    outline: tuple[tuple[float, float], ...] = ()
    """(u_m, v_m) of the plane's corners where it isn't a rectangle."""


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
    spots: tuple[tuple[float, float], ...] = ()
    """(u_m, v_m) of each attachment along its rail, spread evenly; on the roof it goes into the rafter beside it."""


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
