"""The hourly loads of a house, the form in which the outage, money and electrical studies take them."""

from __future__ import annotations

from dataclasses import dataclass

from sizing.climate.hours import Floats
from sizing.study.request import Tier
from sizing.study.result import Loads
from sizing.working import Working


@dataclass(frozen=True, eq=False)
class LoadsHours:
    """Hourly mean power over one year, arrays of shape (8760,) in local standard time, AC watts."""

    summary: Loads
    backup_w: Floats
    """The tiers of the worksheet that the outage study carries."""
    use_w: Floats
    """The whole house."""
    working: tuple[Working, ...]
    warnings: tuple[str, ...]
    by_tier_w: tuple[tuple[Tier, Floats], ...] = ()
    """Each tier of the worksheet that has loads."""
