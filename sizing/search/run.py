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
from sizing.search.answer import Found, SearchResult, answer
from sizing.search.candidates import Array, House, arrays, batteries, inverters, stack
from sizing.search.catalogue import BatteryOffer, InverterOffer, Space, Wish
from sizing.search.wiring import array_failures
from sizing.study.request import Battery, StringGroup, StudyRequest
from sizing.study.validate import check_request

Progress = Callable[[str, float], None]
LOOKING_FROM = 0.1
"""Share of the progress that weather, sun and loads take."""


def search(request: StudyRequest, space: Space, wish: Wish, progress: Progress | None = None) -> SearchResult:
    """Every combination of the space on the request's planes (their ``modules``, and its equipment, are replaced).

    Energy by the study's own chain, bills by its tariff, outages of ``backup.wanted_days`` by its loads. Equipment of
    the request serves only for what a study needs to be valid. It prepares a choice; the study of the chosen design and
    the licensed people behind it come after. Raises InputErrors.

    ``progress`` is told in plain words what it is at, with the fraction done (0 to 1), about a hundred times.
    """
    check_request(request)
    if found := _problems(request, space):
        raise InputErrors(found)
    tell = progress or (lambda _words, _fraction: None)
    tell("Reading the weather, the sun and the loads", 0.0)
    house = House(request)
    told = 0.0
    candidates: list[Found] = []
    failed: dict[str, int] = {}
    tried = 0
    for array in arrays(house, space):
        if array.share_done >= told + 0.01:
            told = array.share_done
            tell(
                f"Trying {array.offer.module.name}: {tried:,} designs so far", LOOKING_FROM + (1 - LOOKING_FROM) * told
            )
        for inverter, count in inverters(house, space, array):
            pair = _pair(house, array, inverter, count)
            for battery, units in batteries(space):
                tried += 1
                failures = (*pair.failures, *house.supply(inverter, count, battery, units))
                if failures:
                    for key in dict.fromkeys(failures):
                        failed[key] = failed.get(key, 0) + 1
                    continue
                candidates.append(_found(house, space, array, pair, battery, units))
            if tried > space.most_candidates:
                raise InputErrors([InputError("space", f"holds more than {space.most_candidates} combinations")])
    return answer(candidates, tried, failed, wish, outages=space.most_batteries > 0)


def _problems(request: StudyRequest, space: Space) -> list[InputError]:
    out = []
    if request.system_type == "off_grid":
        out.append(InputError("system_type", "off the grid there is no bill to offset; see the reliability curve"))
    if request.tariff is None:
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
    shortfall_w: Floats | None = None
    most_surplus_w: float = 0.0
    falls: dict[tuple[float, float], Falls] | None = None


def _pair(house: House, array: Array, offer: InverterOffer, count: int) -> _Pair:
    request = replace(array.request, inverter=offer.inverter, inverter_count=count)
    failures, groups = array_failures(request, house.low_c, house.high_c)
    if failures:
        return _Pair(request, offer, failures, groups)
    inverter = offer.inverter
    ac_w, _ = inverter_ac_w(array.dc_w, inverter.ac_power_w * count, inverter.efficiency)
    after = float(bills_after_usd(meter_year(house.loads.use_w, ac_w, house.tariff), house.tariff).sum())
    need_w = house.loads.backup_w / inverter.efficiency + inverter.standby_w * count
    surplus = array.dc_w - need_w
    return _Pair(
        request,
        offer,
        (),
        groups,
        float(ac_w.sum()) / 1000,
        house.before_usd - after,
        np.maximum(-surplus, 0.0),
        max(float(surplus.max()), 0.0),
        {},
    )


def _ride_share(house: House, array: Array, pair: _Pair, battery: Battery | None) -> float:
    plant = plant_of(replace(pair.request, battery=battery))
    if house.loads.summary.backup_peak_w <= 0 or plant.inverter_limit_w <= 0:
        return 0.0
    assert pair.falls is not None and pair.shortfall_w is not None
    limit = plant.charge_limit_w if plant.charge_limit_w < pair.most_surplus_w else np.inf
    key = (plant.charge_efficiency, limit)
    if key not in pair.falls:
        change = hourly_need(plant, array.dc_w, house.loads.backup_w).change_wh
        pair.falls[key] = falls(change, house.wanted_hours)
    start = house.request.backup.start_state_of_charge
    return share_lasting(plant, pair.falls[key], house.loads.backup_w, pair.shortfall_w, house.wanted_hours, start)


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
