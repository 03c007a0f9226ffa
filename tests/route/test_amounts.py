"""Sums of money, exact to the cent.

No outside source rounds shares of a price: the checks are the sums themselves, over many splits, and hand-made cases.
"""

from __future__ import annotations

import random
from datetime import date, timedelta
from decimal import Decimal

import pytest

from projects.models import MilestoneFact
from projects.route.amounts import AGES, Bill, age, cents, settle, shares
from projects.route.milestones import MILESTONE_KEYS, missing, reached
from projects.route.requirements import REQUIREMENT_BY_KEY
from projects.route.standing import standing
from tests.route.scenarios import ROUTES, complete_job, without


def usd(*amounts: str) -> list[Decimal]:
    return [Decimal(amount) for amount in amounts]


def test_halves_go_away_from_zero() -> None:
    assert [cents(a) for a in usd("0.005", "0.015", "-0.005", "2.674999")] == usd("0.01", "0.02", "-0.01", "2.67")


@pytest.mark.parametrize(
    ("total", "percents", "wanted"),
    [
        ("38420.00", usd("10", "40", "40", "10"), usd("3842", "15368", "15368", "3842")),
        ("100.00", usd("33.33", "33.33", "33.34"), usd("33.33", "33.33", "33.34")),
        ("0.05", usd("25", "25", "25", "25"), usd("0.01", "0.01", "0.01", "0.02")),
        ("0.02", usd("25", "25", "25", "25"), usd("0.01", "0.01", "0", "0")),
        ("0.00", usd("50", "50"), usd("0", "0")),
        ("10.00", usd("100"), usd("10")),
        ("10.00", [], []),
        # Weights that don't sum to 100: what is left of a schedule once its first part is invoiced.
        ("90.00", usd("40", "40", "10"), usd("40", "40", "10")),
    ],
)
def test_shares_by_hand(total: str, percents: list[Decimal], wanted: list[Decimal]) -> None:
    assert shares(Decimal(total), percents) == wanted


def test_shares_sum_to_the_price_whatever_the_split() -> None:
    rng = random.Random(1863)
    for _ in range(2000):
        total = Decimal(rng.randrange(0, 9_999_999)) / 100
        cuts = sorted(rng.sample(range(1, 10_000), rng.randrange(0, 7)))
        percents = [Decimal(b - a) / 100 for a, b in zip([0, *cuts], [*cuts, 10_000], strict=True)]
        found = shares(total, percents)
        assert sum(found) == total
        assert all(part >= 0 and part == cents(part) for part in found)
        for part, percent in list(zip(found, percents, strict=True))[:-1]:
            assert abs(part - total * percent / 100) <= Decimal("0.005") or total < Decimal("0.10")


@pytest.mark.parametrize(("total", "percents"), [("-1", usd("100")), ("1", usd("0", "100")), ("1", usd("-5", "105"))])
def test_shares_that_make_no_sense_are_refused(total: str, percents: list[Decimal]) -> None:
    with pytest.raises(ValueError, match="shares"):
        shares(Decimal(total), percents)


DAY = date(2026, 3, 1)


def bills() -> list[Bill]:
    return [Bill(2, DAY + timedelta(days=30), Decimal("200")), Bill(1, DAY, Decimal("100"))]


@pytest.mark.parametrize(
    ("received", "open_", "credit"),
    [
        ("0", ("100", "200"), "0"),
        ("40.50", ("59.50", "200"), "0"),
        ("100", ("0", "200"), "0"),
        ("299.99", ("0", "0.01"), "0"),
        ("350", ("0", "0"), "50"),
        ("-20", ("100", "200"), "-20"),
    ],
)
def test_money_pays_what_is_due_first(received: str, open_: tuple[str, str], credit: str) -> None:
    found = settle(bills(), Decimal(received))
    assert found.open_usd == {1: Decimal(open_[0]), 2: Decimal(open_[1])}
    assert found.credit_usd == Decimal(credit)


def test_no_cent_is_lost_in_settling() -> None:
    rng = random.Random(7)
    for _ in range(500):
        made = [
            Bill(n, DAY + timedelta(days=rng.randrange(90)), Decimal(rng.randrange(1, 9999)) / 100) for n in range(6)
        ]
        received = Decimal(rng.randrange(0, 60_000)) / 100
        found = settle(made, received)
        assert sum(bill.amount_usd for bill in made) - sum(found.open_usd.values()) + found.credit_usd == received


@pytest.mark.parametrize(
    ("late", "title"),
    [
        (-5, "not due yet"),
        (0, "not due yet"),
        (1, "1 to 30 days"),
        (30, "1 to 30 days"),
        (31, "31 to 60 days"),
        (60, "31 to 60 days"),
        (61, "61 to 90 days"),
        (90, "61 to 90 days"),
        (91, "over 90 days"),
        (4000, "over 90 days"),
    ],
)
def test_the_age_of_a_debt(late: int, title: str) -> None:
    assert AGES[age(DAY, DAY + timedelta(days=late))][0] == title


def test_milestones_name_facts_and_requirements_that_exist() -> None:
    assert set(MILESTONE_KEYS) == set(MilestoneFact.values)
    named = {key for groups in MILESTONE_KEYS.values() for group in groups for key in group}
    assert named <= set(REQUIREMENT_BY_KEY)


@pytest.mark.parametrize("route", ROUTES)
@pytest.mark.parametrize("key", MILESTONE_KEYS)
def test_a_milestone_is_reached_by_all_its_facts_and_not_before(route: str, key: str) -> None:
    facts = complete_job(route)
    found = reached(standing(facts), key)
    assert found is not None
    assert missing(standing(facts), key) == ()
    asked = {r.key: r for r in standing(facts).requirements}
    group = next(g for g in MILESTONE_KEYS[key] if set(g) & set(asked))
    mine = [k for k in group if k in asked]
    assert mine
    assert found.on == max(asked[k].met_on for k in mine)
    for requirement in mine:
        less = standing(without(facts, requirement))
        assert reached(less, key) is None
        assert asked[requirement].sentence in missing(less, key)
