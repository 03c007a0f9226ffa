"""The search itself: checks, energy, bills and outages of every candidate."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from sizing.array.power import inverter_ac_w
from sizing.backup.falls import Falls, falls, share_lasting
from sizing.backup.plant import hourly_need, plant_of
from sizing.climate.hours import Floats
from sizing.errors import InputError, InputErrors
from sizing.money.tariff import bills_after_usd, meter_year
from sizing.search.answer import Found, SearchResult, answer, answer_off_grid
from sizing.search.candidates import Array, House, arrays, batteries, inverters, stack
from sizing.search.catalogue import BatteryOffer, InverterOffer, Space, Wish
from sizing.search.off_grid import OffGridYears
from sizing.search.wiring import array_failures
from sizing.study.request import Battery, StringGroup, StudyRequest
from sizing.study.validate import check_request

Progress = Callable[[str, float], None]
LOOKING_FROM, FOLLOWING_FROM = 0.1, 0.7
"""Shares of the progress: weather, sun and loads before the first; off the grid the year of each design after the
second.
"""


def search(request: StudyRequest, space: Space, wish: Wish, progress: Progress | None = None) -> SearchResult:
    """Every combination of the space on the request's planes (their ``modules``, and its equipment, are replaced).

    Energy by the study's own chain, bills by its tariff, outages of ``backup.wanted_days`` by its loads. Off the grid
    each design is followed through a year, without a generator. Off the grid, and where outages are wished to be
    carried, a battery and its inverter must carry everything essential at once and start the largest motor. Equipment
    of the request serves only for what a study needs to be valid. It prepares a choice; the study of the chosen design
    and the licensed people behind it come after. Raises InputErrors.

    ``progress`` is told in plain words what it is at, with the fraction done (0 to 1), about a hundred times.
    """
    check_request(request)
    if found := _problems(request, space):
        raise InputErrors(found)
    tell = progress or (lambda _words, _fraction: None)
    tell("Reading the weather, the sun and the loads", 0.0)
    house = House(request, wish)
    told = 0.0
    candidates: list[Found] = []
    failed: dict[str, int] = {}
    tried = 0
    looked = FOLLOWING_FROM if house.off_grid else 1.0
    year = OffGridYears(house.loads, request.backup.start_state_of_charge) if house.off_grid else None
    for array in arrays(house, space):
        if array.share_done >= told + 0.01:
            told = array.share_done
            words = f"Trying {array.offer.module.name}: {tried:,} designs so far"
            tell(words, LOOKING_FROM + (looked - LOOKING_FROM) * told)
        for inverter, count in inverters(house, space, array):
            beside = list(batteries(house, space, inverter))
            if not beside:
                continue
            pair = _pair(house, array, inverter, count)
            for battery, units in beside:
                tried += 1
                failures = (*pair.failures, *house.supply(inverter, count, battery, units))
                if failures:
                    for key in dict.fromkeys(failures):
                        failed[key] = failed.get(key, 0) + 1
                    continue
                candidates.append(_found(house, space, array, pair, battery, units))
                if year is not None:
                    year.add(array.dc_w, pair.request, stack(battery, units))
            if tried > space.most_candidates:
                raise InputErrors([InputError("space", f"holds more than {space.most_candidates} combinations")])
    if year is not None:
        tell(f"Following {len(candidates):,} designs through a year", FOLLOWING_FROM)
        return answer_off_grid(year.told(candidates), tried, failed, wish)
    return answer(candidates, tried, failed, wish, outages=space.most_batteries > 0)


def _problems(request: StudyRequest, space: Space) -> list[InputError]:
    out = []
    if request.system_type == "off_grid":
        if space.least_batteries < 1:
            out.append(InputError("space.least_batteries", "must be at least 1 off the grid"))
    elif request.tariff is None:
        out.append(InputError("tariff", "is needed to compare bills"))
    if not space.modules or not space.inverters:
        out.append(InputError("space", "needs at least one module and one inverter"))
    for name in ("module_step", "most_inverters"):
        if getattr(space, name) < 1:
            out.append(InputError(f"space.{name}", "must be at least 1"))
    if not 0 <= space.least_batteries <= space.most_batteries:
        out.append(InputError("space.least_batteries", f"must be 0 to {space.most_batteries}"))
    elif space.least_batteries and not space.batteries:
        out.append(InputError("space.batteries", "needs at least one battery"))
    return out


@dataclass(frozen=True, eq=False)
class _Pair:
    """An array on inverters, whatever the battery."""

    request: StudyRequest
    offer: InverterOffer
    failures: tuple[str, ...]
    groups: tuple[StringGroup, ...]
    ac_kwh: float = 0.0
    saved_usd: float = 0.0
    after_load_w: Floats | None = None
    """Array less essential loads, on the DC side; standby is still to come off."""
    falls: dict[tuple[float, float, float], Falls] | None = None


def _pair(house: House, array: Array, offer: InverterOffer, count: int) -> _Pair:
    request = replace(array.request, inverter=offer.inverter, inverter_count=count)
    failures, groups = array_failures(request, house.low_c, house.high_c)
    if failures:
        return _Pair(request, offer, failures, groups)
    inverter = offer.inverter
    ac_w, _ = inverter_ac_w(array.dc_w, inverter.ac_power_w * count, inverter.efficiency)
    if house.tariff is None:
        return _Pair(request, offer, (), groups, float(ac_w.sum()) / 1000)
    after = float(bills_after_usd(meter_year(house.loads.use_w, ac_w, house.tariff), house.tariff).sum())
    return _Pair(
        request,
        offer,
        (),
        groups,
        float(ac_w.sum()) / 1000,
        house.before_usd - after,
        array.dc_w - house.loads.backup_w / inverter.efficiency,
        {},
    )


def _ride_share(house: House, array: Array, pair: _Pair, battery: Battery | None) -> float:
    if house.off_grid:
        return 0.0
    plant = plant_of(replace(pair.request, battery=battery))
    if house.loads.summary.backup_peak_w <= 0 or plant.inverter_limit_w <= 0:
        return 0.0
    assert pair.falls is not None and pair.after_load_w is not None
    surplus_w = pair.after_load_w - plant.standby_w
    limit = plant.charge_limit_w if plant.charge_limit_w < surplus_w.max() else np.inf
    key = (plant.charge_efficiency, limit, plant.standby_w)
    if key not in pair.falls:
        change = hourly_need(plant, array.dc_w, house.loads.backup_w).change_wh
        pair.falls[key] = falls(change, house.wanted_hours)
    start = house.request.backup.start_state_of_charge
    shortfall_w = np.maximum(-surplus_w, 0.0)
    return share_lasting(plant, pair.falls[key], house.loads.backup_w, shortfall_w, house.wanted_hours, start)


def _found(house: House, space: Space, array: Array, pair: _Pair, battery: BatteryOffer | None, units: int) -> Found:
    module = array.offer.module
    modules, count = sum(array.counts), pair.request.inverter_count
    equipment = modules * array.offer.price_usd + count * pair.offer.price_usd
    equipment += units * battery.price_usd if battery else 0.0
    return Found(
        module=module.name,
        modules_by_plane=array.counts,
        strings=pair.groups,
        inverter=pair.offer.inverter.name,
        inverter_count=count,
        battery=battery.battery.name if battery else None,
        battery_units=units,
        dc_kw=modules * module.power_w / 1000,
        cost_usd=space.cost.cost_usd(equipment, modules * module.power_w),
        ac_kwh_year=pair.ac_kwh,
        bill_offset=pair.saved_usd / house.before_usd if house.before_usd > 0 else 0.0,
        saved_usd_year=pair.saved_usd,
        ride_through_share=_ride_share(house, array, pair, stack(battery, units)),
    )
