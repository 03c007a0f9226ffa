"""What is wrong with the prices, the loan and the years ahead of a request."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from sizing.errors import InputError
from sizing.study.request import Economics, StudyRequest, Tariff
from sizing.study.rules import choice, positive, within


def money_problems(request: StudyRequest) -> Iterator[InputError]:
    tariff, loan = request.tariff, request.loan
    if tariff is not None:
        yield from choice("tariff.kind", tariff.kind, ("net_metering", "net_billing", "no_export"))
        yield from within("tariff.energy_usd_per_kwh", tariff.energy_usd_per_kwh, 0.0, 5.0, "$/kWh")
        yield from within("tariff.fixed_usd_per_month", tariff.fixed_usd_per_month, 0.0, 1000.0, "$")
        yield from within("tariff.export_usd_per_kwh", tariff.export_usd_per_kwh, 0.0, 5.0, "$/kWh")
        yield from within("tariff.escalation_per_year", tariff.escalation_per_year, -0.2, 0.3)
        yield from _prices(tariff)
    yield from _economics(request.economics)
    if loan is not None:
        yield from within("loan.principal_usd", loan.principal_usd, 0.0, 10_000_000.0, "$")
        yield from within("loan.rate_per_year", loan.rate_per_year, 0.0, 0.5)
        yield from within("loan.months", loan.months, 1, 600)


def _prices(tariff: Tariff) -> Iterator[InputError]:
    yield from within("tariff.minimum_usd_per_month", tariff.minimum_usd_per_month, 0.0, 1000.0, "$")
    yield from within("tariff.tax_fraction", tariff.tax_fraction, 0.0, 1.0)
    if tariff.blocks and tariff.periods:
        yield InputError("tariff.blocks", "a tariff has blocks or time-of-use periods, not both")
    for i, block in enumerate(tariff.blocks):
        yield from positive(f"tariff.blocks[{i}].kwh", block.kwh, 1_000_000.0, "kWh")
        yield from within(f"tariff.blocks[{i}].usd_per_kwh", block.usd_per_kwh, 0.0, 5.0, "$/kWh")
    for i, period in enumerate(tariff.periods):
        path = f"tariff.periods[{i}]"
        yield from within(f"{path}.usd_per_kwh", period.usd_per_kwh, 0.0, 5.0, "$/kWh")
        yield from within(f"{path}.export_usd_per_kwh", period.export_usd_per_kwh, 0.0, 5.0, "$/kWh")
        yield from within(f"{path}.from_hour", period.from_hour, 0, 24)
        yield from within(f"{path}.to_hour", period.to_hour, 0, 24)
        yield from choice(f"{path}.days", period.days, ("all", "weekdays", "weekends"))
        for month in period.months:
            yield from within(f"{path}.months", month, 1, 12)


def _economics(economics: Economics) -> Iterator[InputError]:
    yield from within("economics.years", economics.years, 1, 60, "years")
    yield from within("economics.price_usd", economics.price_usd, 0.0, 10_000_000.0, "$")
    yield from within("economics.discount_rate_per_year", economics.discount_rate_per_year, -0.05, 0.5)
    yield from within("economics.degradation_per_year", economics.degradation_per_year, 0.0, 0.1)
    yield from within("economics.upkeep_usd_per_year", economics.upkeep_usd_per_year, 0.0, 100_000.0, "$")
    yield from within("economics.inflation_per_year", economics.inflation_per_year, -0.1, 0.3)
    for i, item in enumerate(economics.replacements):
        yield from within(f"economics.replacements[{i}].year", item.year, 1, 60)
        yield from within(f"economics.replacements[{i}].usd", item.usd, 0.0, 1_000_000.0, "$")
    for i, incentive in enumerate(economics.incentives):
        path = f"economics.incentives[{i}]"
        yield from within(f"{path}.month", incentive.month, 1, 720)
        yield from within(f"{path}.usd", incentive.usd, 0.0, 10_000_000.0, "$")
        for name in ("entered_on", "expires_on"):
            yield from _date(f"{path}.{name}", getattr(incentive, name))
        if incentive.expires_on is not None and not list(_date("", incentive.expires_on)):
            entered = list(_date("", incentive.entered_on))
            if not entered and date.fromisoformat(incentive.expires_on) < date.fromisoformat(incentive.entered_on):
                yield InputError(f"{path}.expires_on", f"{incentive.expires_on} is before {incentive.entered_on}")
    yield from _date("economics.in_service_on", economics.in_service_on)


def _date(path: str, text: str | None) -> Iterator[InputError]:
    if text is None:
        return
    try:
        date.fromisoformat(text)
    except ValueError:
        yield InputError(path, f"{text!r} is not a date such as 2026-04-30")
