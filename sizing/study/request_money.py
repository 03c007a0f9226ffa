"""Prices, the loan and the years ahead, all as entered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

TariffKind = Literal["net_metering", "net_billing", "no_export"]


@dataclass(frozen=True)
class EnergyBlock:
    """A block of a month's energy at its own price."""

    kwh: float
    usd_per_kwh: float


@dataclass(frozen=True)
class RatePeriod:
    """Hours with their own price, from ``from_hour`` up to ``to_hour`` (0 to 24, over midnight where it is larger).

    Standard time all year.
    """

    name: str
    usd_per_kwh: float
    from_hour: int = 0
    to_hour: int = 24
    months: tuple[int, ...] = ()
    """1-12; empty means all year."""
    days: Literal["all", "weekdays", "weekends"] = "all"
    export_usd_per_kwh: float | None = None
    """net_billing: None takes the tariff's."""


@dataclass(frozen=True)
class Tariff:
    """``energy_usd_per_kwh`` prices what no block and no period does."""

    kind: TariffKind
    energy_usd_per_kwh: float
    fixed_usd_per_month: float
    export_usd_per_kwh: float = 0.0
    """net_billing only: what a kWh sent out is credited at."""
    escalation_per_year: float = 0.0
    blocks: tuple[EnergyBlock, ...] = ()
    """Tiers of a month's energy, in order."""
    periods: tuple[RatePeriod, ...] = ()
    """Time of use; the first that covers an hour counts."""
    minimum_usd_per_month: float = 0.0
    tax_fraction: float = 0.0
    """On the whole bill."""


@dataclass(frozen=True)
class Incentive:
    """Money from outside as the office entered it, with the day it was entered and the day it ends."""

    name: str
    usd: float
    month: int
    """After the start, from 1, in which it arrives."""
    entered_on: str
    """ISO date."""
    expires_on: str | None = None
    source: str = ""


@dataclass(frozen=True)
class Replacement:
    """Something bought again, in today's money."""

    name: str
    year: int
    usd: float


@dataclass(frozen=True)
class Economics:
    """The years ahead. Everything is as entered; nothing is assumed to be paid by anyone else."""

    years: int = 25
    price_usd: float | None = None
    """None: the loan's principal."""
    discount_rate_per_year: float = 0.05
    degradation_per_year: float = 0.005
    """Of production; common practice, no source (0.5 % a year)."""
    upkeep_usd_per_year: float = 0.0
    inflation_per_year: float = 0.0
    """Of upkeep and replacements."""
    replacements: tuple[Replacement, ...] = ()
    incentives: tuple[Incentive, ...] = ()
    in_service_on: str | None = None
    """ISO date on which the system is taken to go into service: incentives that end before it don't count."""


@dataclass(frozen=True)
class Loan:
    principal_usd: float
    rate_per_year: float
    months: int
