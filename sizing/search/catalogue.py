"""What a search may choose from, what it costs and what the customer wishes for."""

from __future__ import annotations

from dataclasses import dataclass

from sizing.study.request import Battery, Inverter, Module


@dataclass(frozen=True)
class ModuleOffer:
    module: Module
    price_usd: float


@dataclass(frozen=True)
class InverterOffer:
    inverter: Inverter
    price_usd: float
    takes_battery: bool = True
    """Whether a DC-coupled battery can be joined to it; False for a plain PV inverter, which follows a battery that has
    its own inverter."""
    follows: bool = True
    """Whether it can run beside a battery whose own inverter forms the grid; False for a stand-alone inverter, which
    knows no grid but its own."""


@dataclass(frozen=True)
class BatteryOffer:
    battery: Battery
    """``units`` is left to the search."""
    price_usd: float


@dataclass(frozen=True)
class CostRule:
    """From the catalogue's prices to a job's: fixed + over_equipment x equipment + per_watt x array."""

    fixed_usd: float = 0.0
    over_equipment: float = 1.0
    per_watt_usd: float = 0.0

    def cost_usd(self, equipment_usd: float, array_w: float) -> float:
        return self.fixed_usd + self.over_equipment * equipment_usd + self.per_watt_usd * array_w


@dataclass(frozen=True)
class Space:
    """The catalogue and how far the search goes."""

    modules: tuple[ModuleOffer, ...]
    inverters: tuple[InverterOffer, ...]
    batteries: tuple[BatteryOffer, ...] = ()
    most_inverters: int = 1
    most_batteries: int = 6
    least_batteries: int = 0
    """1 or more where the system is nothing without a battery."""
    module_step: int = 1
    """Counts of a plane go down from what it holds by this step, and to none."""
    largest_dc_over_ac: float = 1.5
    """Array over inverter rating; common practice, no source."""
    cost: CostRule = CostRule()
    most_candidates: int = 100_000


@dataclass(frozen=True)
class Wish:
    """Shares from 0 to 1. The length of the outage is the request's ``backup.wanted_days``."""

    bill_offset: float = 0.0
    """Of the year's electric bills."""
    ride_through_share: float = 0.0
    """Of all outage starts of the year."""
    carried_share: float = 0.0
    """Off the grid: of the year's hours, those in which sun and battery carry the whole house."""
    autonomy_days: float = 0.0
    """Off the grid: that the full battery carries the house's mean load without sun."""
    most_usd: float | None = None
