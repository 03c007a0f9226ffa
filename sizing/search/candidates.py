"""The combinations that a search goes through, and what all of them share."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from sizing.array.power import system_loss_factor
from sizing.array.production import plane_year
from sizing.backup.limits import power_limits
from sizing.backup.plant import plant_of
from sizing.climate.choose import choose_climate
from sizing.climate.design_temperatures import settle
from sizing.climate.hours import Floats
from sizing.loads import study_loads
from sizing.money.tariff import bills_before_usd, meter_year
from sizing.roof.study import array_share, fill
from sizing.search.catalogue import BatteryOffer, InverterOffer, ModuleOffer, Space, Wish
from sizing.search.wiring import supply_failures
from sizing.study.request import Battery, StudyRequest
from sizing.sun.position import sun_year

LATER = 1e-6


class House:
    """What all candidates share: weather, loads, bills without solar, and results by what they depend on."""

    def __init__(self, request: StudyRequest, wish: Wish) -> None:
        chosen = choose_climate(request.site, request.climate)
        self.request = replace(request, strings=(), battery=None, loan=None)
        self.climate = chosen.hours
        site, climate = request.site, request.climate
        temps = settle(
            self.climate,
            site.latitude_deg,
            site.longitude_deg,
            climate.record_low_c,
            climate.high_2pct_c,
            chosen.distance_km,
        )
        self.low_c, self.high_c = temps.record_low_c, temps.high_2pct_c
        hours = self.climate
        self.sun = sun_year(hours.latitude_deg, hours.longitude_deg, hours.elevation_m, hours.utc_offset_h)
        self.loads = study_loads(request, hours)
        self.off_grid = request.system_type == "off_grid"
        self.must_carry = self.off_grid or wish.ride_through_share > 0
        self.tariff = None if self.off_grid else request.tariff
        self.before_usd = 0.0
        if self.tariff is not None:
            use_w = self.loads.use_w
            before = bills_before_usd(meter_year(use_w, np.zeros_like(use_w), self.tariff), self.tariff)
            self.before_usd = float(before.sum())
        wanted = min(request.backup.wanted_days * 24, request.backup.horizon_hours)
        self.wanted_hours = max(int(np.ceil(wanted)), 1)
        self._supply: dict[tuple[str, int, str, int], tuple[str, ...]] = {}

    def supply(self, inverter: InverterOffer, count: int, battery: BatteryOffer | None, units: int) -> tuple[str, ...]:
        key = (inverter.inverter.name, count, battery.battery.name if battery else "", units)
        if key not in self._supply:
            request = replace(
                self.request, inverter=inverter.inverter, inverter_count=count, battery=stack(battery, units)
            )
            self._supply[key] = (*supply_failures(request, self.high_c), *self._not_carried(request))
        return self._supply[key]

    def _not_carried(self, request: StudyRequest) -> tuple[str, ...]:
        """With the grid down nothing else starts the motors or carries everything essential at once: where outages are
        to be carried, what can't is no design.
        """
        if not self.must_carry or request.battery is None:
            return ()
        power_ok, surge_ok, _, _ = power_limits(request, plant_of(request), self.loads)
        return (*(() if power_ok else ("backup.power_limit",)), *(() if surge_ok else ("backup.surge",)))


@dataclass(frozen=True, eq=False)
class Array:
    offer: ModuleOffer
    counts: tuple[int, ...]
    request: StudyRequest
    dc_w: Floats
    share_done: float = 0.0
    """How much of all arrays came before it, 0 to 1."""


def arrays(house: House, space: Space) -> Iterator[Array]:
    """Every number of modules on every plane for which there is room, with the array's hourly DC power."""
    left = system_loss_factor(house.request.losses)
    for number, offer in enumerate(space.modules):
        base = replace(house.request, module=offer.module)
        room = {share: [len(fill(plane, base, share).places) for plane in base.planes] for share in (0.0, 1.0)}
        per_module = np.array(
            [plane_year(base, replace(plane, modules=1), house.climate, house.sun).dc_w * left for plane in base.planes]
        )
        options = [sorted({0, *range(most, 0, -space.module_step)}) for most in room[0.0]]
        threshold = 0.66 if base.access.sprinklered else 0.33
        combinations = math.prod(len(some) for some in options)
        for at, counts in enumerate(itertools.product(*options)):
            if not any(counts):
                continue
            planes = tuple(replace(plane, modules=n) for plane, n in zip(base.planes, counts, strict=True))
            request = replace(base, planes=planes)
            if array_share(request) > threshold and any(n > most for n, most in zip(counts, room[1.0], strict=True)):
                continue
            done = (number + at / combinations) / len(space.modules)
            yield Array(offer, counts, request, np.asarray(counts, dtype=np.float64) @ per_module, done)


def inverters(house: House, space: Space, array: Array) -> Iterator[tuple[InverterOffer, int]]:
    array_w = sum(array.counts) * array.offer.module.power_w
    for offer in space.inverters:
        for count in range(1, space.most_inverters + 1):
            if array_w <= space.largest_dc_over_ac * offer.inverter.ac_power_w * count + LATER:
                yield offer, count


def batteries(house: House, space: Space, inverter: InverterOffer) -> Iterator[tuple[BatteryOffer | None, int]]:
    """What may stand beside this inverter: no battery, one on its DC side, or one that brings its own inverter."""
    if space.least_batteries == 0:
        yield None, 0
    for offer in space.batteries:
        if offer.battery.coupling == "ac" and (house.request.system_type == "grid_tied" or not inverter.follows):
            continue  # it would make this another kind of system, or its inverter can't be followed
        if offer.battery.coupling == "dc" and not inverter.takes_battery:
            continue
        for units in range(max(space.least_batteries, 1), space.most_batteries + 1):
            yield offer, units


def stack(offer: BatteryOffer | None, units: int) -> Battery | None:
    return replace(offer.battery, units=units) if offer else None
