"""What a study is asked: frozen dataclasses, SI units, every number with its unit in its name.

Angles: azimuth and bearing in degrees clockwise from true north (south = 180); tilt in degrees from horizontal.
Positions on the site: metres east (``x_m``) and north (``y_m``) of the middle of the house at ground level.
The parts stand by subject in ``request_*.py``; this is where the rest of the house takes them from.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sizing.study.request_equipment import (
    STANDBY_OF_OWN_INVERTER_W,
    Battery,
    CodeEdition,
    Generator,
    Inverter,
    LossFractions,
    Module,
    Runs,
    Service,
    StorageLocation,
    StringGroup,
)
from sizing.study.request_loads import (
    Appliance,
    ApplianceKind,
    Backup,
    Tier,
    Usage,
)
from sizing.study.request_money import (
    Economics,
    EnergyBlock,
    Incentive,
    Loan,
    RatePeriod,
    Replacement,
    Tariff,
    TariffKind,
)
from sizing.study.request_site import (
    AccessEdition,
    AccessRules,
    Climate,
    HorizonPoint,
    Obstruction,
    ObstructionKind,
    RoofEdge,
    RoofEdgeKind,
    RoofObstacle,
    RoofObstacleKind,
    RoofPlane,
    Site,
    Structure,
    Wood,
)

__all__ = [
    "STANDBY_OF_OWN_INVERTER_W",
    "AccessEdition",
    "AccessRules",
    "Appliance",
    "ApplianceKind",
    "Backup",
    "Battery",
    "Climate",
    "CodeEdition",
    "Economics",
    "EnergyBlock",
    "Generator",
    "HorizonPoint",
    "Incentive",
    "Inverter",
    "Loan",
    "LossFractions",
    "Module",
    "Obstruction",
    "ObstructionKind",
    "RatePeriod",
    "Replacement",
    "RoofEdge",
    "RoofEdgeKind",
    "RoofObstacle",
    "RoofObstacleKind",
    "RoofPlane",
    "Runs",
    "Service",
    "Site",
    "StorageLocation",
    "StringGroup",
    "Structure",
    "StudyRequest",
    "SystemType",
    "Tariff",
    "TariffKind",
    "Tier",
    "Usage",
    "Wood",
]

SystemType = Literal["off_grid", "grid_tied", "hybrid"]


# Frozen defaults may be shared between requests.
# ruff: noqa: RUF009
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
    horizon: tuple[HorizonPoint, ...] = ()
    """Measured; empty: level all around. Opaque, and too far away to look different from another part of the array."""
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
