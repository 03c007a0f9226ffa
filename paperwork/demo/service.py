"""Years in service: readings of the meter month by month, a claim that is settled, and one with a visit planned."""

from __future__ import annotations

from datetime import date, time, timedelta
from decimal import Decimal

from paperwork.demo.clock import office_time, standing_at, weekday, working_day
from paperwork.demo.telling import Telling
from projects.actions import claims, readings, service_visits
from projects.models import Warranty, WarrantyClaim
from projects.queries.service import MonthLine, production

WEATHER = (0.97, 1.04, 0.92, 1.01, 0.95, 1.06, 0.99, 0.9, 1.03, 0.96, 1.0, 0.94)
"""Of a typical month, January first: invented, within the tenth or two that weather moves a month by."""
FAILING = 0.62
"""Of a month in which a part of the array is out."""
READ_ON_DAY = 4
"""Of the month after."""


def in_service(story: Telling) -> None:
    """By the household's options; ``story`` is told up to the warranties."""
    options = story.household.options
    if "claim_settled" in options:
        _settled(story)
    _read(story)
    if "claim_open" in options:
        _open(story)


def _read(story: Telling) -> None:
    """Each whole month, as the customer rings it in. The latest that was rung in shows why a claim is open."""
    if "no_readings" in story.household.options:
        return
    lines = [line for line in production(story.job, story.today).lines if line.expected_kwh is not None]
    known = [line for line in lines if _rung_in(line) < story.today]
    for place, line in reversed(list(enumerate(known))):
        bad = "claim_open" in story.household.options and place == 0
        share = FAILING if bad else WEATHER[(line.month - 1 + story.job.number) % 12]
        kwh = Decimal(round((line.expected_kwh or 0.0) * share))
        with standing_at(office_time(_rung_in(line), time(17, 10))):
            readings.enter_reading(
                job=story.job, actor=story.office, year=line.year, month=line.month, produced_kwh=kwh
            )


def _rung_in(line: MonthLine) -> date:
    return date(line.year + line.month // 12, line.month % 12 + 1, READ_ON_DAY)


def _claim(story: Telling, covers: str, on: date, trouble: str) -> WarrantyClaim:
    """``covers``: the beginning of a warranty's name."""
    warranty = Warranty.objects.filter(job=story.job, covers__startswith=covers).first()
    with standing_at(office_time(on, time(10, 20))):
        return claims.report_claim(job=story.job, actor=story.office, warranty=warranty, on=on, trouble=trouble)


def _settled(story: Telling) -> None:
    told = working_day(story.today - timedelta(days=48))
    claim = _claim(
        story, "Workmanship", told, "Water stain on the bedroom ceiling below the array after the October rain."
    )
    visit_on, done = weekday(told + timedelta(days=5)), weekday(told + timedelta(days=7))
    with standing_at(office_time(told, time(10, 40))):
        visit = service_visits.plan_service_visit(job=story.job, actor=story.office, on=visit_on, claim=claim)
    with standing_at(office_time(visit_on, time(14, 30))):
        found = "One flashing sat proud of its shingle. Reset and sealed; dry under the hose for 20 minutes."
        service_visits.record_service_visit(visit=visit, actor=story.crew, on=visit_on, found=found)
    with standing_at(office_time(done, time(9, 15))):
        note = "Flashing reset, ceiling painted at our cost. The household is content."
        claims.settle_claim(claim=claim, actor=story.office, outcome="repaired", on=done, note=note)


def _open(story: Telling) -> None:
    told = working_day(story.today - timedelta(days=3))
    trouble = "The display shows the second string at 0 V since the storm; the last month gave little."
    claim = _claim(story, story.household.inverter, told, trouble)
    with standing_at(min(office_time(told, time(10, 45)), story.cast["now"])):
        service_visits.plan_service_visit(
            job=story.job, actor=story.office, on=weekday(story.today + timedelta(days=3)), claim=claim
        )
