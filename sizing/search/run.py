"""The search itself: candidates, checks, energy, bills and outages, and the answer to a wish."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from sizing.array.power import inverter_ac_w, system_loss_factor
from sizing.array.production import plane_year
from sizing.backup.plant import hourly_need, plant_of
from sizing.climate.choose import choose_climate
from sizing.climate.design_temperatures import settle
from sizing.climate.hours import Floats
from sizing.errors import InputError, InputErrors
from sizing.loads import study_loads
from sizing.money.tariff import bills_after_usd, bills_before_usd, meter_year
from sizing.roof.study import array_share, fill
from sizing.search.catalogue import BatteryOffer, InverterOffer, ModuleOffer, Space, Wish
from sizing.search.front import front, next_best
from sizing.search.outage import Falls, falls, share_lasting
from sizing.search.wiring import array_failures, supply_failures
from sizing.study.request import Battery, StringGroup, StudyRequest
from sizing.study.validate import check_request
from sizing.sun.position import sun_year

LATER = 1e-6


@dataclass(frozen=True)
class Found:
    """One design that passes all code checks."""

    module: str
    modules_by_plane: tuple[int, ...]
    strings: tuple[StringGroup, ...]
    inverter: str
    inverter_count: int
    battery: str | None
    battery_units: int
    dc_kw: float
    cost_usd: float
    ac_kwh_year: float
    bill_offset: float
    saved_usd_year: float
    ride_through_share: float


@dataclass(frozen=True)
class SearchResult:
    tried: int
    """Combinations looked at, those that fail a check among them."""
    passing: int
    failed: tuple[tuple[str, int], ...]
    """(check, combinations that fail it), most first."""
    front: tuple[Found, ...]
    """Cheapest first; nothing as cheap is better in bill offset and ride-through together."""
    cheapest: Found | None
    """That meets the wish."""
    runner_up: Found | None
    """What the next dollar buys: dearer, no worse in either, most gained per dollar."""
    closest: Found | None
    """Where nothing meets the wish: the one that comes nearest."""


def search(request: StudyRequest, space: Space, wish: Wish) -> SearchResult:
    """Every combination of the space on the request's planes (their ``modules``, and its equipment, are replaced).

    Energy by the study's own chain, bills by its tariff, outages of ``backup.wanted_days`` by its loads. Equipment of
    the request serves only for what a study needs to be valid. It prepares a choice; the study of the chosen design and
    the licensed people behind it come after. Raises InputErrors.
    """
    check_request(request)
    if found := _problems(request, space):
        raise InputErrors(found)
    house = _House.of(request)
    candidates: list[Found] = []
    failed: dict[str, int] = {}
    tried = 0
    for array in _arrays(house, space):
        for inverter, count in _inverters(house, space, array):
            pair = _pair(house, array, inverter, count)
            for battery, units in _batteries(space):
                tried += 1
                failures = (*pair.failures, *house.supply(inverter, count, battery, units))
                if failures:
                    for key in dict.fromkeys(failures):
                        failed[key] = failed.get(key, 0) + 1
                    continue
                candidates.append(_found(house, space, array, pair, battery, units))
            if tried > space.most_candidates:
                raise InputErrors([InputError("space", f"holds more than {space.most_candidates} combinations")])
    return _answer(candidates, tried, failed, wish)


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
    return out


class _House:
    """What all candidates share: weather, loads, bills without solar, and results by what they depend on."""

    def __init__(self, request: StudyRequest) -> None:
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
        assert request.tariff is not None
        self.tariff = request.tariff
        nothing = np.zeros_like(self.loads.use_w)
        self.before_usd = float(bills_before_usd(meter_year(self.loads.use_w, nothing, self.tariff), self.tariff).sum())
        wanted = min(request.backup.wanted_days * 24, request.backup.horizon_hours)
        self.wanted_hours = max(int(np.ceil(wanted)), 1)
        self._supply: dict[tuple[str, int, str, int], tuple[str, ...]] = {}

    @classmethod
    def of(cls, request: StudyRequest) -> _House:
        return cls(request)

    def supply(self, inverter: InverterOffer, count: int, battery: BatteryOffer | None, units: int) -> tuple[str, ...]:
        key = (inverter.inverter.name, count, battery.battery.name if battery else "", units)
        if key not in self._supply:
            request = replace(
                self.request, inverter=inverter.inverter, inverter_count=count, battery=_stack(battery, units)
            )
            self._supply[key] = supply_failures(request, self.high_c)
        return self._supply[key]


@dataclass(frozen=True, eq=False)
class _Array:
    offer: ModuleOffer
    counts: tuple[int, ...]
    request: StudyRequest
    dc_w: Floats


def _arrays(house: _House, space: Space) -> Iterator[_Array]:
    """Every number of modules on every plane for which there is room, with the array's hourly DC power."""
    left = system_loss_factor(house.request.losses)
    for offer in space.modules:
        base = replace(house.request, module=offer.module)
        room = {share: [len(fill(plane, base, share).places) for plane in base.planes] for share in (0.0, 1.0)}
        per_module = np.array(
            [plane_year(base, replace(plane, modules=1), house.climate, house.sun).dc_w * left for plane in base.planes]
        )
        options = [sorted({0, *range(most, 0, -space.module_step)}) for most in room[0.0]]
        threshold = 0.66 if base.access.sprinklered else 0.33
        for counts in itertools.product(*options):
            if not any(counts):
                continue
            planes = tuple(replace(plane, modules=n) for plane, n in zip(base.planes, counts, strict=True))
            request = replace(base, planes=planes)
            if array_share(request) > threshold and any(n > most for n, most in zip(counts, room[1.0], strict=True)):
                continue
            yield _Array(offer, counts, request, np.asarray(counts, dtype=np.float64) @ per_module)


def _inverters(house: _House, space: Space, array: _Array) -> Iterator[tuple[InverterOffer, int]]:
    array_w = sum(array.counts) * array.offer.module.power_w
    for offer in space.inverters:
        for count in range(1, space.most_inverters + 1):
            if array_w <= space.largest_dc_over_ac * offer.inverter.ac_power_w * count + LATER:
                yield offer, count


def _batteries(space: Space) -> Iterator[tuple[BatteryOffer | None, int]]:
    yield None, 0
    for offer in space.batteries:
        for units in range(1, space.most_batteries + 1):
            yield offer, units


def _stack(offer: BatteryOffer | None, units: int) -> Battery | None:
    return replace(offer.battery, units=units) if offer else None


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


def _pair(house: _House, array: _Array, offer: InverterOffer, count: int) -> _Pair:
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


def _ride_share(house: _House, array: _Array, pair: _Pair, battery: Battery | None) -> float:
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


def _found(house: _House, space: Space, array: _Array, pair: _Pair, battery: BatteryOffer | None, units: int) -> Found:
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
        ride_through_share=_ride_share(house, array, pair, _stack(battery, units)),
    )


def _answer(found: list[Found], tried: int, failed: dict[str, int], wish: Wish) -> SearchResult:
    reasons = tuple(sorted(failed.items(), key=lambda pair: -pair[1]))
    if not found:
        return SearchResult(tried, 0, reasons, (), None, None, None)
    cost = np.array([item.cost_usd for item in found])
    ride = np.array([item.ride_through_share for item in found])
    offset = np.array([item.bill_offset for item in found])
    best = front(cost, ride, offset)
    meets = (ride >= wish.ride_through_share - 1e-9) & (offset >= wish.bill_offset - 1e-9)
    if wish.most_usd is not None:
        meets &= cost <= wish.most_usd
    winners = [int(index) for index in best if meets[index]]
    if not winners:
        missing = np.maximum(wish.ride_through_share - ride, 0) + np.maximum(wish.bill_offset - offset, 0)
        if wish.most_usd is not None:
            missing += np.maximum(cost / wish.most_usd - 1, 0) if wish.most_usd > 0 else cost
        nearest = int(np.lexsort((cost, missing))[0])
        return SearchResult(tried, len(found), reasons, tuple(found[i] for i in best), None, None, found[nearest])
    after = next_best(cost, ride, offset, winners[0], best)
    return SearchResult(
        tried,
        len(found),
        reasons,
        tuple(found[i] for i in best),
        found[winners[0]],
        found[after] if after is not None else None,
        None,
    )
