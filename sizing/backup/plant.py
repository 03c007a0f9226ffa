"""The battery, inverter and loads of one outage, as the numbers that the hour-by-hour balance works with."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.climate.hours import Floats, Mask
from sizing.study.request import STANDBY_OF_OWN_INVERTER_W, StudyRequest

TOLERANCE_WH = 1e-6
"""A shortfall below this is rounding, not a load that goes dark."""


@dataclass(frozen=True)
class Plant:
    """Everything between the array's DC terminals and the essential loads, energies in Wh, powers in W.

    The battery sits on the inverter's DC side. What is stored is counted inside the battery: charging W watts for an
    hour stores W x charge_efficiency, and taking W watts costs W / discharge_efficiency. An AC-coupled battery is
    treated the same way, its limits seen from the DC side: its conversions come in another order with the same product,
    and its last hours without sun are understated by the inverter's loss.
    """

    capacity_wh: float
    """Usable capacity of all units."""
    reserve_wh: float
    """Never touched."""
    charge_limit_w: float
    discharge_limit_w: float
    charge_efficiency: float
    discharge_efficiency: float
    inverter_efficiency: float
    inverter_limit_w: float
    """AC power the inverters can carry with the grid down."""
    standby_w: float
    """Drawn from the DC side in every hour of the outage."""

    @property
    def range_wh(self) -> float:
        return self.capacity_wh - self.reserve_wh


def plant_of(request: StudyRequest) -> Plant:
    """The plant a request describes. An off-grid inverter that states no backup power can carry its AC rating.

    An AC-coupled battery's own inverters form the grid: what they give is the most that the loads may ask, also while
    the sun helps (the safe side).

    The round trip is split evenly: charge and discharge efficiency are each its square root.
    """
    inverter, count, battery = request.inverter, request.inverter_count, request.battery
    units = battery.units if battery else 0
    limit_w, own_standby_w, ac_to_dc = inverter.backup_power_w * count, 0.0, 1.0
    if limit_w <= 0 and request.system_type == "off_grid":
        limit_w = inverter.ac_power_w * count
    if battery and battery.coupling == "ac":
        limit_w = battery.max_discharge_kw * 1000 * units
        own_standby_w = (STANDBY_OF_OWN_INVERTER_W if battery.standby_w is None else battery.standby_w) * units
        ac_to_dc = 1 / inverter.efficiency
    one_way = battery.round_trip_efficiency**0.5 if battery else 1.0
    capacity_wh = battery.usable_kwh * 1000 * units if battery else 0.0
    charge_w = battery.max_charge_kw * 1000 * units if battery else 0.0
    discharge_w = battery.max_discharge_kw * 1000 * units if battery else 0.0
    return Plant(
        capacity_wh=capacity_wh,
        reserve_wh=capacity_wh * battery.reserve_fraction if battery else 0.0,
        charge_limit_w=charge_w * ac_to_dc,
        discharge_limit_w=discharge_w * ac_to_dc + own_standby_w,  # what it draws itself is no part of its output
        charge_efficiency=one_way,
        discharge_efficiency=one_way,
        inverter_efficiency=inverter.efficiency,
        inverter_limit_w=limit_w,
        standby_w=inverter.standby_w * count + own_standby_w,
    )


@dataclass(frozen=True, eq=False)
class HourlyNeed:
    """What each hour asks of the battery, independent of how full it is. Arrays of one shape (n,)."""

    change_wh: Floats
    """Change of stored energy if the battery is neither full nor empty."""
    impossible: Mask
    """Hours that no state of charge can carry: more load than inverter or battery power allow."""


def hourly_need(plant: Plant, dc_w: Floats, load_w: Floats) -> HourlyNeed:
    """Surplus or shortfall of each hour at the battery's own terminals. ``dc_w`` and ``load_w``: shape (n,), W."""
    surplus_w = dc_w - (load_w / plant.inverter_efficiency + plant.standby_w)
    charge_wh = np.minimum(np.maximum(surplus_w, 0.0), plant.charge_limit_w) * plant.charge_efficiency
    shortfall_w = np.maximum(-surplus_w, 0.0)
    impossible = (load_w > plant.inverter_limit_w + TOLERANCE_WH) | (
        shortfall_w > plant.discharge_limit_w + TOLERANCE_WH
    )
    return HourlyNeed(charge_wh - shortfall_w / plant.discharge_efficiency, impossible)
