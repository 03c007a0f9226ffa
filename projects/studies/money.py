"""Prices, loan and the years ahead as ``sizing`` takes them; everything is as the office entered it."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils import timezone

from projects.models import Design, Job, JobIncentive, LeadAnswers, MoneyRules
from sizing.study import request as ask

INSTALLED_OVER_EQUIPMENT = 1.9
"""Installed price over the catalogue's price of module, inverter and battery; common practice, no source."""


def tariff_of(job: Job) -> ask.Tariff | None:
    """The utility's prices; None off the grid, and where no utility is set."""
    utility = job.utility
    if utility is None or job.system_kind == "off_grid":
        return None
    return ask.Tariff(
        kind=utility.tariff_kind,  # type: ignore[arg-type]
        energy_usd_per_kwh=float(utility.energy_usd_per_kwh),
        fixed_usd_per_month=float(utility.fixed_usd_per_month),
        export_usd_per_kwh=float(utility.export_usd_per_kwh),
        escalation_per_year=utility.escalation_pct_per_year / 100,
        blocks=tuple(ask.EnergyBlock(**line) for line in utility.energy_blocks),
        periods=tuple(
            ask.RatePeriod(**{**line, "months": tuple(line["months"])})  # JSON has no tuples
            for line in utility.rate_periods
        ),
        minimum_usd_per_month=float(utility.minimum_usd_per_month),
        tax_fraction=utility.tax_pct / 100,
    )


def price_usd(job: Job, design: Design) -> tuple[float, bool]:
    """(the installed price, whether it is only estimated from the catalogue because the office has set none)."""
    if job.price_usd is not None:
        return float(job.price_usd), False
    equipment = design.module_count * float(design.module.price_usd)
    equipment += design.inverter_count * float(design.inverter.price_usd)
    equipment += design.battery_count * float(design.battery.price_usd) if design.battery else 0.0
    equipment += float(design.generator.price_usd) if design.generator else 0.0
    return round(equipment * INSTALLED_OVER_EQUIPMENT, -2), True


def loan_of(job: Job, design: Design) -> ask.Loan | None:
    """Of the whole price, where the household wants one."""
    if not LeadAnswers.objects.filter(job=job, wants_loan=True).exists():
        return None
    price, _ = price_usd(job, design)
    return ask.Loan(price, float(design.loan_rate_per_year), design.loan_months) if price > 0 else None


def economics_of(job: Job, design: Design) -> ask.Economics:
    """The office's money rules, the job's price, what is bought again, and the incentives still open to this job."""
    rules = MoneyRules.current()
    price, _ = price_usd(job, design)
    return ask.Economics(
        years=rules.years,
        price_usd=price if price > 0 else None,
        discount_rate_per_year=rules.discount_pct_per_year / 100,
        degradation_per_year=rules.degradation_pct_per_year / 100,
        upkeep_usd_per_year=float(rules.upkeep_usd_per_year),
        inflation_per_year=rules.inflation_pct_per_year / 100,
        replacements=tuple(_replacements(rules, design)),
        incentives=tuple(
            ask.Incentive(
                name=row.name,
                usd=float(row.usd),
                month=row.month,
                entered_on=row.entered_on.isoformat(),
                expires_on=row.expires_on.isoformat() if row.expires_on else None,
                source=row.source,
            )
            for row in job.incentives.filter(withdrawn_at=None)
            # With a booked day the study itself says which lapse before it.
            if job.install_on or still_open(row, job)
        ),
        in_service_on=job.install_on.isoformat() if job.install_on else None,
    )


def still_open(row: JobIncentive, job: Job) -> bool:
    """It ends no earlier than the system is built: the booked day, else today."""
    return row.expires_on is None or row.expires_on >= (job.install_on or timezone.localdate())


def _replacements(rules: MoneyRules, design: Design) -> Iterator[ask.Replacement]:
    """Batteries and inverters bought again within the years looked at, at the catalogue's price, labour aside."""
    parts: list[tuple[str, int | None, float]] = [
        ("Inverter", rules.inverter_years, float(design.inverter.price_usd) * design.inverter_count)
    ]
    if design.battery is not None:
        parts.append(("Battery", rules.battery_years, float(design.battery.price_usd) * design.battery_count))
    for name, every, usd in parts:
        for year in range(every, rules.years, every) if every and usd > 0 else ():
            yield ask.Replacement(name, year, usd)
