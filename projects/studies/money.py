"""Prices, loan and the years ahead as ``sizing`` takes them; everything is as the office entered it."""

from __future__ import annotations

from projects.models import Design, Job, LeadAnswers
from sizing.study import request as ask

INSTALLED_OVER_EQUIPMENT = 1.9
"""Installed price over the catalogue's price of module, inverter and battery; common practice, no source."""
ESCALATION_PER_YEAR = 0.0


def tariff_of(job: Job) -> ask.Tariff | None:
    utility = job.utility
    if utility is None or job.system_kind == "off_grid":
        return None
    return ask.Tariff(
        kind=utility.tariff_kind,  # type: ignore[arg-type]
        energy_usd_per_kwh=float(utility.energy_usd_per_kwh),
        fixed_usd_per_month=float(utility.fixed_usd_per_month),
        export_usd_per_kwh=float(utility.export_usd_per_kwh),
        escalation_per_year=ESCALATION_PER_YEAR,
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


def loan_of(job: Job, design: Design, answers: LeadAnswers | None) -> ask.Loan | None:
    if answers is None or not answers.wants_loan:
        return None
    price, _ = price_usd(job, design)
    return ask.Loan(price, float(design.loan_rate_per_year), design.loan_months) if price > 0 else None
