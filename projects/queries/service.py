"""What a system in service should produce by its study, beside what the customer reads."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date

from projects.actions.readings import whole_months_since
from projects.models import Job, MeterReading, StudyRun

MONTH_LOW, MONTH_HIGH = 0.70, 1.30
"""Of a typical month. The weather of one month alone moves it by a tenth or two: common practice, no source."""
SEVERAL = 3
SEVERAL_LOW = 0.85
"""Of several months together, over which the weather evens out: common practice, no source."""
MONTHS_SHOWN = 24


@dataclass(frozen=True)
class MonthLine:
    year: int
    month: int
    expected_kwh: float | None
    read_kwh: float | None

    @property
    def name(self) -> str:
        return f"{calendar.month_name[self.month]} {self.year}"

    @property
    def ratio(self) -> float | None:
        if self.read_kwh is None or not self.expected_kwh:
            return None
        return self.read_kwh / self.expected_kwh

    @property
    def percent(self) -> float | None:
        return None if self.ratio is None else 100 * self.ratio

    @property
    def far_off(self) -> str:
        if self.ratio is None or MONTH_LOW <= self.ratio <= MONTH_HIGH:
            return ""
        return "far below a typical month" if self.ratio < MONTH_LOW else "far above a typical month"


@dataclass(frozen=True)
class Production:
    lines: tuple[MonthLine, ...]
    """Newest first: each whole month since the system was switched on."""
    expected_by_month: tuple[float, ...]
    """January first; empty where no study has finished."""
    study_on: date | None

    @property
    def read(self) -> tuple[MonthLine, ...]:
        return tuple(line for line in self.lines if line.ratio is not None)

    @property
    def together(self) -> float | None:
        """Percent of what the months read should have given together."""
        expected = sum(line.expected_kwh or 0 for line in self.read)
        return 100 * sum(line.read_kwh or 0 for line in self.read) / expected if expected else None

    @property
    def warning(self) -> str:
        """Why somebody should look at the system; empty where nothing is far off."""
        if len(self.read) >= SEVERAL and self.together is not None and self.together < 100 * SEVERAL_LOW:
            return f"The {len(self.read)} months read gave {self.together:.0f} % of what the study expects"
        newest = next(iter(self.read), None)
        if newest is not None and newest.far_off:
            return f"{newest.name} gave {newest.percent:.0f} % of what the study expects"
        return ""


def production(job: Job, today: date) -> Production:
    """Expected: the latest finished study's typical year (no ageing taken off). Three queries."""
    begun = job.marks.filter(key="switched_on", withdrawn_at=None).values_list("on", flat=True).first()
    studies = StudyRun.objects.filter(job=job, state=StudyRun.State.DONE).order_by("-pk")
    found = studies.values_list("result__production__ac_kwh_by_month", "on").first()
    by_month = tuple(float(kwh) for kwh in found[0] or ()) if found else ()
    read = {(row.year, row.month): float(row.produced_kwh) for row in MeterReading.objects.filter(job=job)}
    months = whole_months_since(begun, today) if begun else []
    if begun and (begun.year, begun.month) in read:
        months = [(begun.year, begun.month), *[m for m in months if m != (begun.year, begun.month)]]
    lines = [
        MonthLine(year, month, _expected(by_month, year, month, begun), read.get((year, month)))
        for year, month in reversed(months[-MONTHS_SHOWN:])
    ]
    return Production(tuple(lines), by_month, found[1] if found else None)


def _expected(by_month: tuple[float, ...], year: int, month: int, begun: date | None) -> float | None:
    """A month in which the system was switched on counts by its days."""
    if len(by_month) != 12:
        return None
    whole = by_month[month - 1]
    if begun is None or (begun.year, begun.month) != (year, month):
        return whole
    days = calendar.monthrange(year, month)[1]
    return whole * (days - begun.day + 1) / days
