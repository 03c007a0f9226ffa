"""What the house uses, and what an outage has to carry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Tier = Literal["must_run", "would_like", "can_wait"]
ApplianceKind = Literal["steady", "motor", "well_pump", "central_air", "electric_heat"]


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
