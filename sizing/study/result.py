"""What a study answers: frozen dataclasses, plain numbers and tuples, ready for JSON.

The parts stand by subject in ``result_*.py``; this is where the rest of the house takes them from.
"""

from __future__ import annotations

from dataclasses import dataclass

from sizing.study.request import StudyRequest
from sizing.study.result_backup import (
    ApplianceLoad,
    Loads,
    OffGrid,
    ReliabilityPoint,
    RideThrough,
    RideThroughCase,
    StateOfChargeTrace,
)
from sizing.study.result_electrical import (
    Check,
    Circuit,
    Electrical,
)
from sizing.study.result_money import (
    CashFlow,
    LoanMonth,
    Money,
    YearOfCash,
)
from sizing.study.result_roof import (
    ClearZone,
    ModulePlace,
    PlaneLayout,
    RoofLayout,
    StructurePlane,
    StructureSheet,
)
from sizing.study.result_sun import (
    ClimateUsed,
    LossStep,
    PlaneResult,
    Production,
    SunPath,
)
from sizing.working import Working

__all__ = [
    "ApplianceLoad",
    "CashFlow",
    "Check",
    "Circuit",
    "ClearZone",
    "ClimateUsed",
    "Electrical",
    "Loads",
    "LoanMonth",
    "LossStep",
    "ModulePlace",
    "Money",
    "OffGrid",
    "PlaneLayout",
    "PlaneResult",
    "Production",
    "ReliabilityPoint",
    "RideThrough",
    "RideThroughCase",
    "RoofLayout",
    "StateOfChargeTrace",
    "StructurePlane",
    "StructureSheet",
    "StudyResult",
    "SunPath",
    "YearOfCash",
]


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
