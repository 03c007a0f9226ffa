"""What is wrong with the loads of a request and with the house's electrical service."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from sizing.errors import InputError
from sizing.study.request import StudyRequest, Tier
from sizing.study.rules import choice, positive, within


def load_problems(request: StudyRequest) -> Iterator[InputError]:
    tiers = get_args(Tier)
    for i, appliance in enumerate(request.appliances):
        path = f"appliances[{i}]"
        kinds = ("steady", "motor", "well_pump", "central_air", "electric_heat")
        yield from choice(f"{path}.kind", appliance.kind, kinds)
        yield from choice(f"{path}.tier", appliance.tier, tiers)
        yield from within(f"{path}.watts", appliance.watts, 0.0, 200_000.0, "W")
        yield from within(f"{path}.hours_per_day", appliance.hours_per_day, 0.0, 24.0, "h")
        yield from within(f"{path}.count", appliance.count, 0, 1000)
        yield from positive(f"{path}.voltage_v", appliance.voltage_v, 1000.0, "V")
        yield from within(f"{path}.locked_rotor_a", appliance.locked_rotor_a, 0.0, 2000.0, "A")
        yield from within(f"{path}.starting_w", appliance.starting_w, 0.0, 500_000.0, "W")
        yield from within(f"{path}.horsepower", appliance.horsepower, 0.0, 200.0, "hp")
        for month in appliance.months:
            if not 1 <= month <= 12:
                yield InputError(f"{path}.months", f"{month} is not a month (1 to 12)")
    usage = request.usage
    if usage.monthly_kwh and len(usage.monthly_kwh) != 12:
        yield InputError("usage.monthly_kwh", f"needs twelve monthly values, has {len(usage.monthly_kwh)}")
    for i, value in enumerate(usage.monthly_kwh):
        yield from within(f"usage.monthly_kwh[{i}]", value, 0.0, 100_000.0, "kWh")
    yield from within("usage.yearly_kwh", usage.yearly_kwh, 0.0, 1_000_000.0, "kWh")
    backup = request.backup
    for tier in backup.tiers:
        yield from choice("backup.tiers", tier, tiers)
    yield from within("backup.horizon_hours", backup.horizon_hours, 1, 8760, "h")
    yield from within("backup.wanted_days", backup.wanted_days, 0.0, 365.0, "days")
    for name in ("start_state_of_charge", "wanted_share", "allowed_loss_of_load_share"):
        yield from within(f"backup.{name}", getattr(backup, name), 0.0, 1.0)


def service_problems(request: StudyRequest) -> Iterator[InputError]:
    service, runs = request.service, request.runs
    for name, high, unit in (
        ("rating_a", 4000.0, "A"), ("main_breaker_a", 4000.0, "A"), ("busbar_a", 4000.0, "A"),
        ("voltage_v", 600.0, "V"),
    ):  # fmt: skip
        yield from positive(f"service.{name}", getattr(service, name), high, unit)
    yield from within("service.free_breaker_spaces", service.free_breaker_spaces, 0, 200)
    yield from choice("service.connection", service.connection, ("busbar_opposite_end", "supply_side"))
    yield from choice("code_edition", request.code_edition, ("2017", "2020", "2023"))
    for name in ("dc_m", "ac_m", "battery_m"):
        yield from within(f"runs.{name}", getattr(runs, name), 0.0, 2000.0, "m")
    yield from within("runs.conduit_above_roof_mm", runs.conduit_above_roof_mm, 0.0, 5000.0, "mm")
