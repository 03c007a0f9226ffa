"""The owner's figures: win rates by source, months, what is stuck and why, who has how much in hand."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.core.cache import cache
from django.utils import timezone

from projects.actions import closing, office, pausing
from projects.models import Job, LikelyDates
from projects.queries.likely import freshen
from projects.queries.months import by_month, month_shares
from projects.queries.people_load import people_load
from projects.queries.sources import win_rates
from projects.queries.stuck import stuck
from projects.route.forecast.predict import DateRange
from projects.route.forecast.shares import wilson
from tests.factories import PersonFactory, job_at, lead, office_person

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _no_history_kept() -> None:
    cache.clear()


def lose(job: Job) -> Job:
    closing.close_job(job=job, actor=office_person(), outcome="lost", reason="Chose to wait a year.")
    return job


def priced(job: Job, usd: int) -> Job:
    office.set_price(job=job, actor=office_person(), price_usd=Decimal(usd))
    return job


def test_a_source_counts_won_lost_and_undecided_apart():
    priced(job_at("permits", source="referral"), 30_000)
    lead(source=" Referral ", name="Kit Dow", street="9 Oak")
    lose(lead(source="referral", name="Jo Bly", street="7 Elm"))
    lose(priced(job_at("permits", source="web"), 20_000))  # cancelled after signing: it was won
    lines, everything = win_rates()
    assert [(line.source, line.leads, line.won, line.lost, line.undecided) for line in lines] == [
        ("referral", 3, 1, 1, 1),
        ("web", 1, 1, 0, 0),
    ]
    assert lines[0].rate == 0.5
    assert lines[0].limits == wilson(1, 2)
    assert lines[0].value_usd == 30_000
    assert (everything.leads, everything.won, everything.lost) == (4, 2, 1)


def test_a_source_without_a_decision_has_no_rate_and_may_be_anything():
    lead(source="fair")
    (line,), everything = win_rates()
    assert line.rate is None
    assert line.limits == (0.0, 1.0) == everything.limits


def test_win_rates_take_one_query_however_many(django_assert_num_queries):
    for n in range(4):
        lead(source=f"s{n}", name=f"Kit {n}", street=f"{n} Oak")
    with django_assert_num_queries(1):
        assert len(win_rates()[0]) == 4


def test_months_count_what_came_in_was_signed_begun_and_permitted():
    job = priced(job_at("done"), 25_000)
    job_at("done", "off_grid")
    found = {month.first: month for month in by_month()}
    total = {step: sum(m.past[step].jobs for m in found.values()) for step in ("leads", "signed", "begun", "permitted")}
    assert total == {"leads": 2, "signed": 2, "begun": 2, "permitted": 2}
    day = job.interconnection.permission_on
    assert found[day.replace(day=1)].past["permitted"].jobs >= 1
    signed = job.marks.get(key="contract_signed").on
    assert found[signed.replace(day=1)].past["signed"].value_usd == 25_000
    assert found[timezone.localdate(job.received_at).replace(day=1)].past["leads"].jobs == 2


def test_months_ahead_expect_signed_jobs_alone_and_lose_none():
    priced(job_at("permits"), 40_000)
    job_at("engineering")  # not signed yet
    freshen()
    months = by_month()
    today = timezone.localdate()
    for step in ("begun", "permitted"):
        ahead = [month for month in months if month.expected[step].jobs]
        assert all(month.first >= today.replace(day=1) for month in ahead)
        row = LikelyDates.objects.get(job__stage="permits")
        last = row.install_high90 if step == "begun" else row.operate_high90
        if last < months[-1].first:
            assert sum(month.expected[step].jobs for month in ahead) == pytest.approx(1)
            assert sum(month.expected[step].value_usd for month in ahead) == pytest.approx(Decimal(40_000), abs=20)


def test_months_run_from_eleven_back_to_six_ahead_over_the_turn_of_the_year():
    months = [month.first for month in by_month(date(2026, 2, 17))]
    assert (months[0], months[11], months[-1]) == (date(2025, 3, 1), date(2026, 2, 1), date(2026, 8, 1))
    assert len(months) == len(set(months)) == 18


def test_a_range_is_spread_over_its_months_in_straight_lines():
    five = [date(2026, 3, 22), date(2026, 3, 27), date(2026, 4, 1), date(2026, 4, 6), date(2026, 4, 11)]
    months = [date(2026, n, 1) for n in (2, 3, 4, 5)]
    # by hand: half of it lies before 1 April, the middle day
    assert dict(month_shares(DateRange(*five), months)) == pytest.approx({months[1]: 0.5, months[2]: 0.5})
    one = DateRange(*[date(2026, 4, 1)] * 5)
    assert dict(month_shares(one, months)) == {date(2026, 4, 1): 1.0}
    last = DateRange(*[date(2026, 3, 31)] * 5)
    assert dict(month_shares(last, months)) == {date(2026, 3, 1): 1.0}
    # a quarter of the way from 5 % to 25 %: 27 March is 25 %, 1 April 50 %
    uneven = DateRange(date(2026, 3, 29), date(2026, 4, 2), date(2026, 4, 20), date(2026, 5, 1), date(2026, 5, 9))
    shares = dict(month_shares(uneven, months))
    assert shares[months[1]] == pytest.approx(0.05 + 0.20 * 3 / 4)
    assert sum(shares.values()) == pytest.approx(1)


def test_late_jobs_are_stuck_latest_first_and_those_within_their_time_are_not():
    old, older = lead(days_ago=12, name="Kit Dow", street="9 Oak"), lead(days_ago=20)
    fresh = lead(days_ago=0, name="Jo Bly", street="7 Elm")
    rows, found = stuck()
    assert [row.job.pk for row in rows] == [older.pk, old.pk]
    assert found == 2
    assert rows[0].late_days > rows[1].late_days > 0
    assert fresh.pk not in {row.job.pk for row in rows}


def test_a_wait_beyond_nine_in_ten_is_told_with_what_is_usual():
    for n in range(4):
        job_at("inspection", name=f"A {n}", street=f"{n} Oak")
    job = job_at("permits")
    Job.objects.update(due_on=timezone.localdate() + timedelta(days=3))
    row = next(row for row in stuck()[0] if row.job.pk == job.pk)
    assert row.late_days == 0
    assert row.slow.leg in ("Preparing the permit packet", "Preparing the utility application")
    assert row.slow.days > row.slow.usual_days > 0


def test_a_paused_job_rests_and_is_not_stuck():
    job = lead(days_ago=20)
    assert len(stuck()[0]) == 1
    day = timezone.localdate() + timedelta(days=9)
    pausing.pause_job(job=job, actor=office_person(), cause="undecided", reason="Back in May", look_again_on=day)
    assert stuck() == ([], 0)


def test_people_with_late_jobs_come_first_and_nobodys_jobs_are_told():
    busy, late = PersonFactory(first_name="Bo"), PersonFactory(first_name="Lil")
    for n in range(2):
        office.assign(job=lead(days_ago=0, name=f"A {n}", street=f"{n} Oak"), actor=office_person(), person=busy)
    office.assign(job=lead(days_ago=30), actor=office_person(), person=late)
    lead(days_ago=0, name="Jo Bly", street="7 Elm")
    rows = people_load()
    assert [(row.name, row.jobs, row.late) for row in rows] == [
        (late.name, 1, 1),
        (busy.name, 2, 0),
        ("Nobody’s", 1, 0),
    ]
